"""Who opens the demo while it is still being made goes first: what they did with a clip stays as they left it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.core.exceptions import ObjectDoesNotExist
from django.db import DatabaseError
from django.db.models import Q

from portal.desk.claims import HeldByAnother, NotForReview
from portal.evaluations.publish import NotPublished
from portal.intake.models import Clip, Submission
from portal.intake.receiving import Refused
from portal.intake.states import MoveNotAllowed, State
from portal.people.models import User

TROUBLES = (MoveNotAllowed, HeldByAnother, NotForReview, NotPublished, Refused, ObjectDoesNotExist, DatabaseError)


def untouched(clip: Clip, state: State) -> Submission | None:
    """The submission of this clip when measuring alone brought it where it stands: in `state`, with no review and no other clip."""
    submission = Submission.objects.filter(clips=clip, state=state, review=None).first()
    return submission if submission is not None and submission.clips.count() == 1 else None


@contextmanager
def theirs_first(submission: Submission, coach: User | None = None) -> Iterator[None]:
    """End the block early, and say nothing, when it fails because somebody else moved this submission or changed its draft in
    between; what fails for another reason is raised. `coach`: who reviews it for the demo.
    """
    ours = Q(state=submission.state) | Q(state=State.IN_REVIEW, reviewer=coach)
    try:
        yield
    except TROUBLES:
        by_hand = Q(review__version__gt=0)  # the demo writes past the desk, which counts
        if Submission.objects.filter(ours, pk=submission.pk).exclude(by_hand).exists():
            raise
