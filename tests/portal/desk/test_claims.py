"""Two coaches never review the same child unknowingly."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from portal.desk import claims
from portal.intake.models import Submission
from portal.intake.states import State


@pytest.fixture
def two_at_once(camp, other_coach, submission):
    """The same submission as two coaches' pages know it."""
    camp.coaches.add(other_coach)
    one = submission(State.READY)
    return one, Submission.objects.get(pk=one.pk)


def test_a_claim_begins_the_review(submission, coach):
    one = submission(State.READY)
    claims.claim(one, coach)
    one.refresh_from_db()
    assert (one.state, one.reviewer) == (State.IN_REVIEW, coach)
    assert claims.holds(one, coach)


def test_claiming_again_changes_nothing(submission, coach):
    one = submission(State.READY)
    claims.claim(one, coach)
    since = one.state_since
    claims.claim(one, coach)
    assert one.state_since == since


def test_of_two_who_claim_at_once_the_slower_is_told_who_has_it(two_at_once, coach, other_coach):
    mine, theirs = two_at_once
    claims.claim(theirs, other_coach)
    with pytest.raises(claims.HeldByAnother) as held:
        claims.claim(mine, coach)
    assert held.value.reviewer == other_coach
    mine.refresh_from_db()
    assert mine.reviewer == other_coach


def test_taking_over_names_from_whom(two_at_once, coach, other_coach):
    mine, theirs = two_at_once
    claims.claim(theirs, other_coach)
    mine.refresh_from_db()
    claims.take_over(mine, coach, other_coach.pk)
    assert Submission.objects.get(pk=mine.pk).reviewer == coach


def test_taking_over_from_somebody_who_no_longer_has_it_is_refused(two_at_once, coach, other_coach, owner):
    mine, _theirs = two_at_once
    claims.claim(mine, other_coach)
    with pytest.raises(claims.HeldByAnother) as held:
        claims.take_over(mine, coach, owner.pk)
    assert held.value.reviewer == other_coach


def test_a_review_without_a_reviewer_can_be_taken(submission, coach):
    one = submission(State.IN_REVIEW)
    claims.claim(one, coach)
    assert one.reviewer == coach


def test_releasing_puts_it_back_into_the_queue(submission, coach):
    one = submission(State.READY)
    claims.claim(one, coach)
    claims.release(one, coach)
    one.refresh_from_db()
    assert (one.state, one.reviewer) == (State.READY, None)


def test_a_correction_that_is_put_down_leaves_it_published(evaluation, sign_in, coach, guardian):
    """Not overdue in the queue, nor waiting for the coach at home: the family has what it has."""
    one = evaluation.submission
    Submission.objects.filter(pk=one.pk).update(state=State.PUBLISHED, promised_by=date(2026, 1, 5))
    one.refresh_from_db()
    claims.claim(one, coach)
    home = sign_in(guardian).get(reverse("family")).text
    assert "evaluation is ready" in home
    assert "with the coach" not in home
    page = sign_in(guardian).get(reverse("submission", args=[one.pk])).text
    assert "The evaluation that you have stays as it is" in page
    assert "January" not in page
    desk = sign_in(coach)
    assert "Leave it as published" in desk.get(reverse("desk", args=[one.pk]), follow=True).text
    told = desk.post(reverse("desk_release", args=[one.pk]), follow=True).text
    assert "stays as published" in told
    one.refresh_from_db()
    assert (one.state, one.reviewer) == (State.PUBLISHED, None)


def test_a_new_clip_after_an_edition_waits_in_the_queue_again(evaluation, coach):
    """Asked for while it was corrected, it is no edition's yet: put down, it is not lost from the queue."""
    one = evaluation.submission
    later = evaluation.published_at + timedelta(days=1)
    Submission.objects.filter(pk=one.pk).update(state=State.READY, received_at=later)
    one.refresh_from_db()
    claims.claim(one, coach)
    assert not one.is_corrected
    claims.release(one, coach)
    one.refresh_from_db()
    assert one.state == State.READY


def test_nobody_can_release_what_another_holds(submission, coach, other_coach):
    one = submission(State.IN_REVIEW, reviewer=other_coach)
    claims.release(one, coach)
    one.refresh_from_db()
    assert (one.state, one.reviewer) == (State.IN_REVIEW, other_coach)


@pytest.mark.parametrize("state", [State.UPLOADING, State.MEASURING, State.WITHDRAWN])
def test_there_is_nothing_to_review_before_and_after(submission, coach, state):
    with pytest.raises(claims.NotForReview):
        claims.claim(submission(state), coach)


def test_a_published_submission_can_be_taken_up_for_a_correction(submission, coach):
    one = submission(State.PUBLISHED)
    claims.claim(one, coach)
    assert one.state == State.IN_REVIEW
