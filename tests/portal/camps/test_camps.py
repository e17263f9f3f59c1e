"""A coach's camps: list, page, new, changed, invite link."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from portal.camps.models import Camp
from portal.intake.states import State
from tests.portal.conftest import make_player, make_submission

ABOUT = {"name": "Spring days", "place": "Norrby", "turnaround_days": 5, "starts_on": "2027-04-03", "ends_on": ""}
ABOUT.update(film_months=12, pages_months=60)
NOT_COACHES = ["guardian", "player_user"]
URLS = ["camps", "camp_new", "camp", "camp_edit"]


def url(name, camp):
    return reverse(name, args=[] if name in ("camps", "camp_new") else [camp.pk])


@pytest.fixture
def client(sign_in, coach):
    return sign_in(coach)


@pytest.mark.parametrize("name", URLS)
@pytest.mark.parametrize("persona", NOT_COACHES)
def test_families_find_no_camp_pages(name, persona, request, sign_in, camp):
    assert sign_in(request.getfixturevalue(persona)).get(url(name, camp)).status_code == 404


@pytest.mark.parametrize("name", ["camp", "camp_edit"])
def test_another_coach_finds_nothing(name, sign_in, other_coach, camp):
    assert sign_in(other_coach).get(url(name, camp)).status_code == 404


@pytest.mark.parametrize("name", URLS)
def test_strangers_sign_in_first(name, stranger, camp):
    assert stranger.get(url(name, camp)).url.startswith(reverse("account_login"))


@pytest.mark.parametrize("name", URLS)
def test_the_owner_opens_all(name, sign_in, owner, camp):
    assert sign_in(owner).get(url(name, camp)).status_code == 200


def test_the_list_holds_the_own_camps(client, camp, other_camp, player):
    page = client.get(reverse("camps"))
    assert camp.name in page.text
    assert "1 player" in page.text
    assert other_camp.name not in page.text


def test_a_coach_without_camps_is_led_to_the_first(sign_in, other_coach):
    assert reverse("camp_new") in sign_in(other_coach).get(reverse("camps")).text


def test_the_page_shows_who_stands_where(client, camp, player, guardian):
    make_submission(player, camp, State.WITHDRAWN)
    waiting = make_submission(player, camp, State.READY)
    make_player(camp, guardian, first_name="Tom")
    page = client.get(url("camp", camp))
    assert page.context["counts"] == [("ready", 1), ("without a clip", 1)]
    assert reverse("submission", args=[waiting.pk]) in page.text


def test_a_request_without_a_clip_is_called_the_same_for_coach_and_family(client, camp, player, guardian, sign_in):
    begun = make_submission(player, camp, State.UPLOADING)
    make_player(camp, guardian, first_name="Tom")
    page = client.get(url("camp", camp))
    assert page.context["counts"] == [("without a clip", 2)]
    assert f'href="{reverse("submission", args=[begun.pk])}">without a clip</a>' in page.text
    assert "uploading" not in page.text
    assert ">without a clip</span>" in sign_in(guardian).get(reverse("family")).text


def test_the_page_shows_the_link_to_send(client, camp):
    assert f"http://localhost:8000/join/{camp.invite_token}/" in client.get(url("camp", camp)).text


def test_a_new_camp_belongs_to_its_coach(client, coach):
    page = client.post(reverse("camp_new"), ABOUT)
    made = Camp.objects.get(name="Spring days")
    assert page.url == url("camp", made)
    assert list(made.coaches.all()) == [coach]
    assert made.invite_is_open


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"turnaround_days": 0}, "between 1 and 60"),
        ({"turnaround_days": 90}, "between 1 and 60"),
        ({"ends_on": "2027-04-01"}, "before the first"),
        ({"name": ""}, "required"),
    ],
)
def test_faults_are_said_and_nothing_is_made(client, coach, change, words):
    assert words in client.post(reverse("camp_new"), {**ABOUT, **change}).text
    assert not Camp.objects.exists()


def test_a_change_is_kept_and_the_link_with_it(client, camp):
    token = camp.invite_token
    client.post(url("camp_edit", camp), {**ABOUT, "welcome": "Bring the helmet."})
    camp.refresh_from_db()
    assert (camp.name, camp.welcome, camp.ends_on, camp.invite_token) == (
        "Spring days",
        "Bring the helmet.",
        None,
        token,
    )


def test_no_such_camp(client):
    assert client.get(reverse("camp", args=[404])).status_code == 404


def test_pages_that_only_read_cannot_be_posted_to(client, camp):
    assert client.post(reverse("camps")).status_code == 405
    assert client.post(url("camp", camp)).status_code == 405


class TestInviteLink:
    def do(self, client, camp, what):
        page = client.post(reverse("camp_invite", args=[camp.pk]), {"do": what})
        camp.refresh_from_db()
        return page

    def test_a_new_link_ends_the_old_one(self, client, camp, stranger):
        old = camp.invite_token
        self.do(client, camp, "renew")
        assert camp.invite_token != old
        assert stranger.get(reverse("join", args=[old])).status_code == 404
        assert stranger.get(reverse("join", args=[camp.invite_token])).status_code == 200

    def test_a_new_link_opens_a_closed_camp_again(self, client, camp):
        Camp.objects.filter(pk=camp.pk).update(invite_ends_at=timezone.now() - timedelta(days=3))
        self.do(client, camp, "renew")
        assert camp.invite_is_open

    def test_closing_ends_it(self, client, camp):
        self.do(client, camp, "close")
        assert not camp.invite_is_open
        assert "Closed since" in client.get(url("camp", camp)).text

    def test_links_are_long_enough_not_to_be_guessed(self, camp):
        assert len(camp.invite_token) >= 22  # 128 bits in base64url (RFC 4648, section 5)

    @pytest.mark.parametrize("persona", ["guardian", "other_coach"])
    def test_nobody_else_touches_it(self, persona, request, sign_in, camp):
        old = camp.invite_token
        assert self.do(sign_in(request.getfixturevalue(persona)), camp, "renew").status_code == 404
        assert camp.invite_token == old

    def test_a_look_changes_nothing_and_leads_to_the_camp(self, client, camp):
        old = camp.invite_token
        assert client.get(reverse("camp_invite", args=[camp.pk]))["Location"] == reverse("camp", args=[camp.pk])
        camp.refresh_from_db()
        assert camp.invite_token == old
