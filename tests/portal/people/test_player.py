"""A player's page: the history, for the family and the coaches of the camp."""

from datetime import date
from uuid import uuid4

import pytest
from django.urls import reverse

from portal.intake.states import State


@pytest.fixture
def url(player):
    return reverse("player", args=[player.pk])


@pytest.mark.parametrize("persona", ["guardian", "player_user", "coach", "owner"])
def test_those_around_the_player_see_it(persona, request, sign_in, url, submission):
    sent = submission(State.READY)
    page = sign_in(request.getfixturevalue(persona)).get(url)
    assert page.status_code == 200
    assert reverse("submission", args=[sent.pk]) in page.text


@pytest.mark.parametrize("persona", ["other_coach", "other_guardian"])
def test_everybody_else_finds_nothing(persona, request, sign_in, url, other_player):
    assert sign_in(request.getfixturevalue(persona)).get(url).status_code == 404


def test_a_guardian_sees_who_else_speaks_for_the_child(sign_in, guardian, other_guardian, player, url):
    player.guardians.add(other_guardian)
    page = sign_in(guardian).get(url).text
    facts = page.split("Guardians</dt>")[1].split("</dd>")[0]
    assert f"{guardian} (you)" in facts
    assert str(other_guardian) in facts
    assert "mailto:" not in facts


def test_no_such_player(sign_in, owner):
    assert sign_in(owner).get(reverse("player", args=[uuid4()])).status_code == 404


def test_it_cannot_be_posted_to(sign_in, guardian, url):
    assert sign_in(guardian).post(url).status_code == 405


def test_the_coach_reads_whom_to_write_to_and_may_take_nothing_back(sign_in, coach, url):
    page = sign_in(coach).get(url)
    assert "lea@example.org" in page.text
    assert "Take it back" not in page.text


def test_a_coach_does_not_see_what_was_sent_to_another_camp(sign_in, coach, player, other_camp, url):
    from tests.portal.conftest import make_submission

    elsewhere = make_submission(player, other_camp, State.READY)
    assert reverse("submission", args=[elsewhere.pk]) not in sign_in(coach).get(url).text


def test_a_guardian_may_take_consent_back_there_and_a_minor_may_not(sign_in, guardian, player_user, player, url):
    link = reverse("consent_take_back", args=[player.consents.get().pk])
    assert link in sign_in(guardian).get(url).text
    assert link not in sign_in(player_user).get(url).text


class TestEdit:
    def test_the_family_corrects_what_we_know(self, sign_in, guardian, player):
        about = {"first_name": "Ida", "birth_year": 2014, "hits": "left", "sport": "softball"}
        sign_in(guardian).post(reverse("player_edit", args=[player.pk]), about)
        player.refresh_from_db()
        assert (player.birth_year, player.hits, player.sport) == (2014, "left", "softball")
        assert player.last_name == "Sandvall"

    def test_the_family_sees_what_the_coachs_sentences_say_and_changes_it(self, sign_in, guardian, player):
        edit = reverse("player_edit", args=[player.pk])
        client = sign_in(guardian)
        assert "Evaluations say" not in client.get(reverse("player", args=[player.pk])).text  # nobody has said
        about = {"first_name": "Ida", "birth_year": 2014, "hits": "left", "sport": "softball"}
        client.post(edit, {**about, "pronoun": "they"})
        player.refresh_from_db()
        assert player.pronoun == "they"
        assert "<dt>Evaluations say</dt><dd>they</dd>" in client.get(reverse("player", args=[player.pk])).text
        client.post(edit, {**about, "pronoun": ""})
        player.refresh_from_db()
        assert player.pronoun == ""

    def test_an_impossible_year_is_said_and_kept_out(self, sign_in, guardian, player):
        year = date.today().year + 1
        about = {"first_name": "Ida", "birth_year": year, "hits": "", "sport": "baseball"}
        page = sign_in(guardian).post(reverse("player_edit", args=[player.pk]), about)
        assert "Is the year right?" in page.text
        player.refresh_from_db()
        assert player.birth_year != year

    @pytest.mark.parametrize("persona", ["coach", "owner", "other_guardian"])
    def test_nobody_else_does(self, persona, request, sign_in, player):
        client = sign_in(request.getfixturevalue(persona))
        assert client.get(reverse("player_edit", args=[player.pk])).status_code == 404


class TestName:
    def test_somebody_says_what_to_be_called(self, sign_in, guardian):
        sign_in(guardian).post(reverse("name"), {"name": "Lea S."})
        guardian.refresh_from_db()
        assert guardian.name == "Lea S."

    def test_an_empty_name_is_asked_for_again(self, sign_in, guardian):
        assert "required" in sign_in(guardian).post(reverse("name"), {"name": " "}).text
