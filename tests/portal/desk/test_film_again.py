"""Asking for another clip ends a review: only who holds it does so unasked, everybody else is warned first."""

import pytest
from django.urls import reverse

from portal.desk import drafts
from portal.desk.models import Rating
from portal.intake.models import Submission
from portal.intake.states import State
from tests.portal.conftest import make_measured_clip

WORDS = "The feet are cut off. Please step back three big steps."


@pytest.fixture
def second(camp, other_coach, sign_in):
    """Another coach of the camp."""
    camp.coaches.add(other_coach)
    return sign_in(other_coach)


def address(submission):
    return reverse("desk_film_again", args=[submission.pk])


def now(submission):
    held = Submission.objects.get(pk=submission.pk)
    return held.state, held.reviewer


def test_another_coach_is_warned_first(second, review, coach):
    page = second.get(address(review.submission)).content.decode()
    assert "Maren Oduya is reviewing this since" in page
    assert "Asking for another clip ends that review." in page
    answer = second.post(address(review.submission), {"words": WORDS, "from_whom": coach.pk})
    assert "Tick this if you have agreed on it" in answer.content.decode()
    assert now(review.submission) == (State.IN_REVIEW, coach)


def test_another_coach_may_after_the_warning(second, review, coach):
    second.post(address(review.submission), {"words": WORDS, "from_whom": coach.pk, "anyway": "on"})
    assert now(review.submission) == (State.FILM_AGAIN, None)


def test_a_review_that_changed_hands_meanwhile_is_not_ended_and_no_word_is_lost(second, review, owner, coach):
    Submission.objects.filter(pk=review.submission_id).update(reviewer=owner)
    answer = second.post(
        address(review.submission), {"words": WORDS, "from_whom": coach.pk, "anyway": "on"}
    ).content.decode()
    assert now(review.submission) == (State.IN_REVIEW, owner)
    assert "Oda Verne is reviewing this since" in answer
    assert WORDS in answer


def test_a_page_from_before_somebody_began_ends_no_review(desk_client, submission, camp, other_coach):
    one = submission(State.READY)
    page = desk_client.get(address(one)).content.decode()
    assert "Nobody is reviewing this one right now." in page
    one.move(State.IN_REVIEW, reviewer=other_coach)
    desk_client.post(address(one), {"words": WORDS, "from_whom": ""})
    assert now(one) == (State.IN_REVIEW, other_coach)


def test_the_draft_is_kept_and_goes_on_with_the_new_clip(desk_client, review, coach, products):
    refused, sent = review.clip, Submission.objects.get(pk=review.submission_id)
    Rating.objects.create(review=review, checkpoint="setup_base_width", words="A little wider.")
    desk_client.post(address(sent), {"words": WORDS, "from_whom": coach.pk})
    asked = Submission.objects.get(pk=sent.pk)
    assert drafts.open_draft(asked).clip == refused  # as long as there is no other
    new = make_measured_clip(sent, products)
    draft = drafts.open_draft(sent)
    assert draft.clip == new
    assert draft.ratings.get().words == "A little wider."


def test_what_nobody_reviews_can_be_sent_back(desk_client, submission):
    one = submission(State.READY)
    assert desk_client.post(address(one), {"words": WORDS, "from_whom": ""}).url == reverse("queue")
    assert now(one) == (State.FILM_AGAIN, None)


def test_what_waits_for_nothing_offers_nothing(desk_client, submission):
    page = desk_client.get(address(submission(State.WITHDRAWN))).content.decode()
    assert "so there is nothing to ask for" in page
    assert "<textarea" not in page


def test_letting_go_what_another_took_over_is_said_and_changes_nothing(second, review, desk_client, other_coach):
    Submission.objects.filter(pk=review.submission_id).update(reviewer=other_coach)
    answer = desk_client.post(reverse("desk_release", args=[review.submission_id]), follow=True).content.decode()
    assert "You do not review Ida Sandvall any more" in answer
    assert now(review.submission) == (State.IN_REVIEW, other_coach)


def test_a_takeover_in_the_same_moment_is_not_undone_by_letting_go(review, coach, other_coach):
    from portal.desk import claims

    mine = Submission.objects.get(pk=review.submission_id)
    Submission.objects.filter(pk=mine.pk).update(reviewer=other_coach)
    assert claims.release(mine, coach) is False
    assert now(mine) == (State.IN_REVIEW, other_coach)


def test_the_request_begins_with_the_film_check_and_the_coachs_own_words(desk_client, review):
    held = review.clip.measurement
    unread, other = held.result["swings"][0]["readings"][:2]
    unread |= {"value": None, "interval": None, "call": "not readable", "reason": "the feet are hidden"}
    held.save()
    Rating.objects.create(review=review, checkpoint=unread["checkpoint"], words="I cannot see the rear foot.")
    Rating.objects.create(review=review, checkpoint=other["checkpoint"], words="Nice and soft.")
    written = desk_client.get(address(review.submission)).context["form"]["words"].value()
    assert "The phone moved a little. Rest it on a fence or a bag next time." in written
    assert "I cannot see the rear foot." in written
    assert "Nice and soft." not in written


def test_words_that_were_sent_before_come_back(desk_client, submission):
    one = submission(State.READY, film_again_words=WORDS)
    assert desk_client.get(address(one)).context["form"]["words"].value() == WORDS


def test_a_good_film_puts_no_words_into_the_coachs_mouth(desk_client, submission):
    assert desk_client.get(address(submission(State.READY))).context["form"]["words"].value() == ""
