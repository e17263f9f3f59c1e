"""Who is a minor, and who decides it: every persona against every act that a child must not be able to do."""

from datetime import date

import pytest
from django.core import mail
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from portal import access
from portal.intake import consent
from portal.intake.models import Consent
from portal.intake.states import State
from portal.people import guardian_invites, of_age
from portal.people.models import Player
from tests.portal.conftest import make_player, make_user
from tests.portal.people.test_player_sign_in import code_in

YEAR = date.today().year
GROWN = YEAR - 30
PERSONAS = ["player_user", "guardian", "other_guardian", "coach", "other_coach", "owner"]
ABOUT = {"first_name": "Ida", "hits": "left", "sport": "softball"}


def acts(player: Player) -> dict[str, tuple[str, dict[str, object]]]:
    """What can be posted about a player: address and form."""
    given = player.consents.get()
    return {
        "change the birth year": (reverse("player_edit", args=[player.pk]), {**ABOUT, "birth_year": GROWN}),
        "say who speaks": (reverse("player_age", args=[player.pk]), {"birth_year": GROWN, "speaks": "adult"}),
        "name a guardian": (reverse("guardian_invite", args=[player.pk]), {"email": "new@example.org"}),
        "end the consent": (reverse("consent_take_back", args=[given.pk]), {}),
    }


# for player, guardian, other guardian, coach, other coach, owner: does it change what is known?
MAY = {
    "change the birth year": [False, True, False, False, False, False],
    "say who speaks": [False, True, False, True, False, True],
    "name a guardian": [False, True, False, False, False, True],
    "end the consent": [False, True, False, False, False, True],
}


def what_stands(player: Player) -> tuple[object, ...]:
    player.refresh_from_db()
    holds = consent.holding(player, player.camps.get()) is not None
    return player.birth_year, player.is_minor, holds, len(mail.outbox)


@pytest.mark.parametrize("act", sorted(MAY))
@pytest.mark.parametrize("persona", PERSONAS)
def test_who_may_do_what(persona, act, request, sign_in, player, other_player, django_capture_on_commit_callbacks):
    url, about = acts(player)[act]
    before = what_stands(player)
    with django_capture_on_commit_callbacks(execute=True):
        sign_in(request.getfixturevalue(persona)).post(url, about)
    assert (what_stands(player) != before) == MAY[act][PERSONAS.index(persona)]


class TestAChild:
    """Ida is 11, with a sign-in of her own that her mother gave her."""

    def test_changes_the_rest_of_what_we_know_and_never_the_birth_year(self, sign_in, player_user, player):
        born = player.birth_year
        page = sign_in(player_user).post(reverse("player_edit", args=[player.pk]), {**ABOUT, "birth_year": GROWN})
        assert page.status_code == 302
        player.refresh_from_db()
        assert (player.hits, player.birth_year) == ("left", born)

    def test_is_a_minor_in_any_year_until_somebody_says_otherwise(self, player_user, player):
        Player.objects.filter(pk=player.pk).update(birth_year=GROWN)
        player.refresh_from_db()
        assert player.is_minor
        assert not access.speaks_for(player_user, player)

    def test_cannot_agree_where_the_guardian_has_ended_it(self, sign_in, player_user, player, camp):
        consent.take_back(player.consents.get())
        url = reverse("submission_new", args=[player.pk, camp.pk])
        sign_in(player_user).post(url, {"agree": "on"})
        assert consent.holding(player, camp) is None

    def test_cannot_bring_another_player_by_the_invite_link(self, sign_in, player_user, player, camp):
        about = {**ABOUT, "birth_year": GROWN, "agree": "on", "who": "myself", "your_name": "Ida"}
        page = sign_in(player_user).post(reverse("join_who", args=[camp.invite_token]), about)
        assert "Open this link with a parent" in page.text
        assert Player.objects.count() == 1
        assert Consent.objects.count() == 1

    def test_is_nobodys_guardian_even_where_a_row_says_so(self, player_user, player, other_player):
        other_player.guardians.add(player_user)
        player.guardians.add(player_user)
        assert not access.speaks_for(player_user, other_player)
        assert not access.speaks_for(player_user, player)


class TestAGuardian:
    def url(self, player):
        return reverse("player_age", args=[player.pk])

    def test_says_that_the_player_is_of_age(self, sign_in, guardian, player_user, player):
        sign_in(guardian).post(self.url(player), {"birth_year": YEAR - 18, "speaks": "adult"})
        player.refresh_from_db()
        assert not player.is_minor
        assert player.adult_said_by == guardian
        assert access.speaks_for(player_user, player)

    def test_is_told_where_year_and_word_do_not_fit(self, sign_in, guardian, player):
        page = sign_in(guardian).post(self.url(player), {"birth_year": YEAR - 17, "speaks": "adult"})
        assert "nobody is 18 yet" in page.text
        player.refresh_from_db()
        assert player.is_minor

    def test_a_year_that_is_put_right_later_makes_a_minor_again(self, sign_in, guardian, player):
        client = sign_in(guardian)
        client.post(self.url(player), {"birth_year": GROWN, "speaks": "adult"})
        client.post(reverse("player_edit", args=[player.pk]), {**ABOUT, "birth_year": YEAR - 12})
        player.refresh_from_db()
        assert player.is_minor


@pytest.fixture
def alone(camp):
    """Somebody who came by the invite link on their own and said that they are 18."""
    user = make_user("runa@example.org", "Runa Falk")
    player = Player.objects.create(first_name="Runa", birth_year=YEAR - 20, user=user)
    of_age.call_adult(player, user)
    consent.give(player, camp, user, training_too=False)
    return player


class TestWhoCameAlone:
    def test_speaks_for_themself(self, alone, camp):
        assert access.speaks_for(alone.user, alone)
        assert consent.holding(alone, camp) is not None

    def test_does_not_change_the_own_birth_year(self, sign_in, alone):
        page = sign_in(alone.user).get(reverse("player_edit", args=[alone.pk]))
        assert "tell your coach" in page.text
        assert "birth_year" not in page.text
        assert sign_in(alone.user).get(reverse("player_age", args=[alone.pk])).status_code == 404

    def test_turns_out_to_be_a_minor_and_a_guardian_is_asked(
        self, sign_in, coach, alone, camp, client, django_capture_on_commit_callbacks
    ):
        desk = sign_in(coach)
        desk.post(reverse("player_age", args=[alone.pk]), {"birth_year": YEAR - 14, "speaks": "minor"})
        alone.refresh_from_db()
        assert not access.speaks_for(alone.user, alone)
        assert consent.holding(alone, camp) is None
        with django_capture_on_commit_callbacks(execute=True):
            desk.post(reverse("guardian_invite", args=[alone.pk]), {"email": "berit@example.org"})
        link = next(word for word in mail.outbox[0].body.split() if "/join/guardian/" in word)
        link = link.removeprefix("http://localhost:8000")
        client.post(client.post(link).url, {"code": code_in(mail.outbox[1])})
        assert "Your name" in client.get(link).text
        assert client.post(link, {"name": " "}).status_code == 200
        assert not alone.guardians.exists()
        assert client.post(link, {"name": "Berit"}).url == reverse("player", args=[alone.pk])
        assert alone.guardians.get().name == "Berit"
        client.post(reverse("submission_new", args=[alone.pk, camp.pk]), {"agree": "on"})
        assert consent.holding(alone, camp).given_by.email == "berit@example.org"

    def test_ends_the_own_word_and_not_the_guardians(self, sign_in, alone, camp, guardian, coach):
        of_age.call_minor(alone)
        alone.guardians.add(guardian)
        own = alone.consents.get()
        theirs = consent.give(alone, camp, guardian, training_too=False)
        client = sign_in(alone.user)
        client.post(reverse("consent_take_back", args=[own.pk]))
        assert client.post(reverse("consent_take_back", args=[theirs.pk])).status_code == 404
        assert consent.holding(alone, camp) == theirs

    def test_no_clip_is_taken_until_a_guardian_agrees(self, sign_in, alone, camp):
        from tests.portal.conftest import make_submission

        sent = make_submission(alone, camp, State.UPLOADING, sent_by=alone.user)
        of_age.call_minor(alone)
        url = reverse("clip_upload", args=[sent.pk])
        answer = sign_in(alone.user).post(url, {"clip": SimpleUploadedFile("a.mp4", b"film")})
        assert answer.status_code == 409
        assert "Consent was taken back" in answer.text


class TestTheInvitationOfAGuardian:
    @pytest.fixture
    def token(self, player, guardian):
        return guardian_invites.token_for(player, "noa@example.org", guardian)

    def test_another_address_cannot_take_it(self, sign_in, other_guardian, token, player):
        assert sign_in(other_guardian).post(reverse("join_guardian", args=[token])).status_code == 404
        assert player.guardians.count() == 1

    def test_a_child_cannot_take_it(self, sign_in, camp, guardian, player):
        child = make_user("noa@example.org", "Noa")
        make_player(camp, guardian, first_name="Noa", user=child)
        token = guardian_invites.token_for(player, "noa@example.org", guardian)
        assert sign_in(child).post(reverse("join_guardian", args=[token])).status_code == 404

    def test_who_has_a_name_here_is_not_asked_for_one(self, sign_in, other_guardian, guardian, player):
        link = reverse("join_guardian", args=[guardian_invites.token_for(player, other_guardian.email, guardian)])
        held = sign_in(other_guardian)
        assert "Your name" not in held.get(link).text
        assert held.post(link).url == reverse("player", args=[player.pk])
        assert player.guardians.filter(pk=other_guardian.pk).exists()

    def test_it_ends_with_the_say_of_who_sent_it(self, client, token, player, guardian):
        player.guardians.remove(guardian)
        assert client.get(reverse("join_guardian", args=[token])).status_code == 404

    def test_the_players_own_address_is_refused(self, sign_in, guardian, player):
        url = reverse("guardian_invite", args=[player.pk])
        assert "player’s own address" in sign_in(guardian).post(url, {"email": "ida@example.org"}).text

    def test_a_changed_link_opens_nothing(self, client, token):
        assert client.get(reverse("join_guardian", args=[token[:-2] + "xx"])).status_code == 404


def test_a_guardians_account_cannot_become_the_childs(sign_in, other_guardian, other_player, camp, guardian):
    from portal.people import invites

    teen = make_player(camp, guardian, first_name="Kit", birth_year=YEAR - 14)
    token = invites.token_for(teen, other_guardian.email, guardian)
    assert sign_in(other_guardian).post(reverse("join_player", args=[token])).status_code == 404
    assert access.speaks_for(other_guardian, other_player)
