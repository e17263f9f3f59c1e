"""From the invite link to the place where the clip is chosen."""

from datetime import date, timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from portal.camps.models import Camp
from portal.intake.models import Consent, Submission
from portal.intake.wording import CURRENT
from portal.people.models import Player, User
from tests.portal.conftest import PASSWORD
from tests.portal.people.test_player_sign_in import code_in

NEW = "nele@example.org"
CHILD = {
    "who": "child",
    "your_name": "Nele Brandt",
    "first_name": "Ivo",
    "birth_year": date.today().year - 10,
    "hits": "left",
    "sport": "softball",
}
AGREED = {**CHILD, "agree": "on"}


@pytest.fixture
def link(camp):
    return reverse("join", args=[camp.invite_token])


@pytest.fixture
def who(camp):
    return reverse("join_who", args=[camp.invite_token])


def test_the_page_says_who_invites_and_what_will_happen(client, link, camp):
    page = client.get(link)
    assert page.status_code == 200
    assert camp.name in page.text
    assert "Coach Maren Oduya writes back within 7 days" in page.text


def test_a_new_address_gets_in_by_code_and_comes_out_at_who_is_hitting(client, link, who):
    code_page = client.post(link, {"email": NEW}).url
    page = client.post(code_page, {"code": code_in(mail.outbox[0])})
    assert page.url == who
    user = User.objects.get(email=NEW)
    assert not user.has_usable_password()
    assert user.emailaddress_set.get().verified


def test_a_mistyped_address_is_typed_in_anew_where_it_was(client, link, who):
    code_page = client.get(client.post(link, {"email": "nele@exmaple.org"}).url)
    assert "The code goes to <strong>nele@exmaple.org</strong>" in code_page.text
    assert "Use another address" in code_page.text
    assert f'<input type="hidden" name="next" value="{link}">' in code_page.text
    back = client.post(reverse("account_logout"), {"next": link})
    assert back.url == link
    assert client.post(client.post(link, {"email": NEW}).url, {"code": code_in(mail.outbox[-1])}).url == who


def test_a_known_address_takes_the_same_steps(client, link, who, guardian):
    known = client.post(link, {"email": guardian.email})
    unknown = client.post(link, {"email": NEW})
    assert known.url == unknown.url
    assert User.objects.filter(email=guardian.email).count() == 1


def test_a_wrong_code_lets_nobody_in(client, link, who):
    code_page = client.post(link, {"email": NEW}).url
    page = client.post(code_page, {"code": "AAAA-BBBB"})
    assert page.status_code == 200
    assert client.get(who).url.startswith(reverse("account_login"))


def test_many_codes_in_a_row_are_refused_kindly(client, link):
    for _ in range(3):
        client.post(link, {"email": NEW})
    page = client.post(link, {"email": NEW})
    assert "Wait a minute" in page.text
    assert len(mail.outbox) == 3


def test_a_locked_account_gets_no_code(client, link, guardian):
    User.objects.filter(pk=guardian.pk).update(is_active=False)
    client.post(link, {"email": guardian.email})
    assert all("code" not in email.subject.lower() for email in mail.outbox)


def test_a_link_that_is_over_says_so(client, camp, link):
    Camp.objects.filter(pk=camp.pk).update(invite_ends_at=timezone.now() - timedelta(days=1))
    page = client.get(link)
    assert page.status_code == 410
    assert "This invitation is over" in page.text


def test_an_unknown_link_says_what_to_do(client, db):
    page = client.get(reverse("join", args=["nosuchtoken"]))
    assert page.status_code == 404
    assert "ask your coach for the newest link" in page.text


def test_nobody_signs_up_without_an_invitation(client, db):
    page = client.get(reverse("account_signup"))
    assert "email" not in [field.name for field in (page.context or {}).get("form", [])]
    client.post(reverse("account_signup"), {"email": NEW})
    assert not User.objects.filter(email=NEW).exists()


def test_a_password_works_as_well(client, guardian):
    page = client.post(reverse("account_login"), {"login": guardian.email, "password": PASSWORD})
    assert page.status_code == 302
    assert client.get(reverse("family")).status_code == 200


class TestWhoIsHitting:
    @pytest.fixture
    def nele(self, sign_in, db):
        self.user = User.objects.create_user(NEW)
        return sign_in(self.user)

    def test_no_tick_is_made_beforehand(self, nele, who):
        page = nele.get(who)
        assert page.context["agreed"]["agree"].value() in (None, False)
        assert 'name="agree"' in page.text
        assert "checked" not in str(page.context["agreed"])

    def test_player_and_consent_are_stored_together(self, nele, who, camp):
        page = nele.post(who, {**AGREED, "training_too": "on"})
        player, given = Player.objects.get(), Consent.objects.get()
        assert (player.first_name, player.hits, player.sport) == ("Ivo", "left", "softball")
        assert list(player.guardians.all()) == [self.user]
        assert list(camp.players.all()) == [player]
        assert (given.player, given.camp, given.wording, given.training_too) == (player, camp, CURRENT, True)
        assert page.url == reverse("submission_clip", args=[Submission.objects.get().pk])
        self.user.refresh_from_db()
        assert self.user.name == "Nele Brandt"

    def test_without_consent_nothing_is_stored(self, nele, who):
        page = nele.post(who, CHILD)
        assert "Without this we may not keep the clip" in page.text
        assert not Player.objects.exists()
        assert not Consent.objects.exists()

    def test_an_adult_is_their_own_player(self, nele, who):
        year = date.today().year - 24
        nele.post(who, {**AGREED, "who": "myself", "birth_year": year})
        player = Player.objects.get()
        assert player.user == self.user
        assert not player.guardians.exists()

    def test_a_minor_is_asked_to_fetch_a_parent(self, nele, who):
        page = nele.post(who, {**AGREED, "who": "myself", "birth_year": date.today().year - 17})
        assert "a parent or guardian has to agree" in page.text
        assert not Player.objects.exists()

    def test_a_year_in_words_is_refused_with_an_example(self, nele, who):
        assert "such as 2014" in nele.post(who, {**AGREED, "birth_year": "twelve"}).text

    def test_a_known_child_is_picked(self, sign_in, guardian, player, who, camp):
        page = sign_in(guardian).get(who)
        assert reverse("submission_new", args=[player.pk, camp.pk]) in page.text

    def test_a_stranger_signs_in_first(self, client, who):
        assert client.get(who).url.startswith(reverse("account_login"))

    def test_a_link_that_is_over_stores_nothing(self, nele, who, camp):
        Camp.objects.filter(pk=camp.pk).update(invite_ends_at=timezone.now())
        assert nele.post(who, AGREED).status_code == 410
        assert not Player.objects.exists()
