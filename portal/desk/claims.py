"""Who reviews whom: two coaches never work on the same child unknowingly. Every hold is one conditional update."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone

from portal.intake.models import Submission
from portal.intake.states import MoveNotAllowed, State
from portal.people.models import User

OPEN_TO_CLAIM = (State.READY, State.UNREADABLE, State.FILM_AGAIN, State.PUBLISHED)


class HeldByAnother(Exception):
    """Another coach reviews this submission, since `since`."""

    def __init__(self, submission: Submission) -> None:
        super().__init__(f"{submission.reviewer} is reviewing this.")
        self.reviewer = submission.reviewer
        self.since = submission.state_since


class NotForReview(Exception):
    """The submission is in no state from which a review can begin."""


def holds(submission: Submission, user: User) -> bool:
    """Whether this person's desk may change the draft."""
    return submission.state == State.IN_REVIEW and submission.reviewer_id == user.pk


def claim(submission: Submission, user: User) -> None:
    """Begin (or go on with) the review.

    Raises HeldByAnother when somebody else reviews it, also when they were quicker by a moment, and NotForReview when
    there is nothing to review.
    """
    if holds(submission, user):
        return
    if submission.state == State.IN_REVIEW and submission.reviewer_id is None:
        _take_from(submission, user, None)
        return
    if submission.state not in OPEN_TO_CLAIM:
        _refuse(submission)
    try:
        submission.move(State.IN_REVIEW, reviewer=user)
    except MoveNotAllowed:
        submission.refresh_from_db()
        if not holds(submission, user):
            _refuse(submission)


def take_over(submission: Submission, user: User, from_pk: int | None) -> None:
    """Go on in place of the coach whom the page named; when somebody else has taken it since, HeldByAnother tells."""
    if holds(submission, user):
        return
    _take_from(submission, user, from_pk)


def release(submission: Submission, user: User) -> bool:
    """Put it back into the queue, or where an edition is published leave it at that; the draft stays. Does nothing, and says False,
    when the claim has gone already.
    """
    if not holds(submission, user):
        return False
    try:
        end(submission, State.PUBLISHED if submission.is_out else State.READY, user.pk)
    except (HeldByAnother, MoveNotAllowed):
        submission.refresh_from_db()
        return False
    return True


@transaction.atomic
def end(submission: Submission, to: State, from_whom: int, **also: object) -> None:
    """Move to `to`, and end with it the review of whom the page named, if anybody reviews it.

    Raises HeldByAnother when somebody else reviews it by now, MoveNotAllowed as `move` does.
    """
    now = Submission.objects.select_for_update(of=("self",)).select_related("reviewer").get(pk=submission.pk)
    if now.state == State.IN_REVIEW and now.reviewer_id != from_whom:
        raise HeldByAnother(now)
    submission.state = now.state
    submission.move(to, reviewer=None, **also)


def _take_from(submission: Submission, user: User, from_pk: int | None) -> None:
    now = timezone.now()
    taken = Submission.objects.filter(pk=submission.pk, state=State.IN_REVIEW, reviewer_id=from_pk).update(
        reviewer=user, state_since=now
    )
    submission.refresh_from_db()
    if taken != 1 and not holds(submission, user):
        _refuse(submission)


def _refuse(submission: Submission) -> None:
    if submission.state == State.IN_REVIEW:
        raise HeldByAnother(submission)
    raise NotForReview
