"""A new submission of a player whom the family already has."""

from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from portal.camps.models import Enrolment
from portal.intake import consent
from portal.intake.models import Submission
from portal.intake.states import State
from tests.portal.conftest import make_player, make_submission


@pytest.fixture
def url(player, camp):
    return reverse("submission_new", args=[player.pk, camp.pk])


def test_with_consent_it_goes_straight_on(sign_in, guardian, url):
    page = sign_in(guardian).post(url)
    assert page.url == reverse("submission_clip", args=[Submission.objects.get().pk])


def test_one_that_was_begun_is_taken_up_again(sign_in, guardian, url, submission):
    begun = submission()
    assert str(begun.pk) in sign_in(guardian).post(url).url
    assert Submission.objects.count() == 1


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (State.FILM_AGAIN, "The coach asked for a new clip, and this one answers that"),
        (State.UNREADABLE, "The last clip could not be measured, and this one takes its place."),
    ],
)
def test_one_that_asks_for_another_clip_is_answered_and_none_stands_beside_it(
    sign_in, guardian, url, submission, state, words
):
    asked, client = submission(state), sign_in(guardian)
    page = client.get(url)
    assert words in page.text
    assert reverse("submission", args=[asked.pk]) in page.text
    assert client.post(url).url == reverse("submission_clip", args=[asked.pk])
    assert Submission.objects.get() == asked


def test_it_is_answered_also_where_an_empty_one_stands_beside_it_already(sign_in, guardian, url, submission):
    asked = submission(State.FILM_AGAIN)
    submission(State.UPLOADING)
    assert sign_in(guardian).post(url).url == reverse("submission_clip", args=[asked.pk])


def test_another_camp_or_child_or_a_film_that_ended_asks_for_nothing(
    sign_in, guardian, url, submission, player, camp, other_camp
):
    make_submission(player, other_camp, State.FILM_AGAIN)
    make_submission(make_player(camp, guardian, first_name="Tom"), camp, State.UNREADABLE)
    submission(State.FILM_AGAIN, film_ended_at=timezone.now())
    page = sign_in(guardian).post(url)
    assert page.url == reverse("submission_clip", args=[Submission.objects.get(state=State.UPLOADING).pk])


def test_one_that_is_with_the_coach_is_left_alone(sign_in, guardian, url, submission):
    submission(State.IN_REVIEW)
    sign_in(guardian).post(url)
    assert Submission.objects.count() == 2


def test_the_player_may_send_where_the_guardian_agreed(sign_in, player_user, url):
    assert sign_in(player_user).post(url).status_code == 302


def test_a_minor_cannot_agree(sign_in, player_user, player, camp, url):
    consent.take_back(player.consents.get())
    page = sign_in(player_user).post(url, {"agree": "on"})
    assert "A parent or guardian has to agree" in page.text
    assert consent.holding(player, camp) is None


def test_after_taking_back_the_guardian_agrees_anew(sign_in, guardian, player, camp, url):
    consent.take_back(player.consents.get())
    assert "Without this" in sign_in(guardian).post(url, {}).text
    sign_in(guardian).post(url, {"agree": "on"})
    assert consent.holding(player, camp) is not None
    assert player.consents.count() == 2


def test_an_open_invite_link_leads_into_a_second_camp(sign_in, guardian, player, other_camp):
    client = sign_in(guardian)
    url = reverse("submission_new", args=[player.pk, other_camp.pk])
    assert client.get(url).status_code == 404
    client.get(reverse("join", args=[other_camp.invite_token]))
    client.post(url, {"agree": "on"})
    assert Enrolment.objects.filter(camp=other_camp, player=player).exists()


@pytest.mark.parametrize("persona", ["coach", "owner", "other_guardian", "other_coach"])
def test_nobody_else_sends_for_this_player(persona, request, sign_in, url):
    assert sign_in(request.getfixturevalue(persona)).post(url, {"agree": "on"}).status_code == 404


def test_no_such_player_or_camp(sign_in, guardian, player, camp):
    client = sign_in(guardian)
    assert client.get(reverse("submission_new", args=[uuid4(), camp.pk])).status_code == 404
    assert client.get(reverse("submission_new", args=[player.pk, 999])).status_code == 404
