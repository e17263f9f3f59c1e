"""What the measuring of clips means for their submission. Call these inside a transaction."""

from __future__ import annotations

from contextlib import suppress
from uuid import UUID

from portal.intake import mails
from portal.intake.models import Submission
from portal.intake.states import MoveNotAllowed, State
from portal.measuring.models import Measurement, Stage


def begin(clip_id: UUID) -> None:
    """A worker has begun with this clip: the submission is being measured. Any other state is left as it is."""
    submission = Submission.objects.get(clips__pk=clip_id)
    if submission.state == State.RECEIVED:
        with suppress(MoveNotAllowed):  # moved by the family in this very moment
            submission.move(State.MEASURING)


def settle(submission_id: UUID) -> None:
    """When no clip is waiting any more: on to the coach's queue, or unreadable when not one clip could be measured."""
    submission = Submission.objects.select_for_update().get(pk=submission_id)
    stages = set(Measurement.objects.filter(clip__submission=submission).values_list("stage", flat=True))
    if submission.state != State.MEASURING or not stages <= {Stage.DONE, Stage.FAILED}:
        return
    if Stage.DONE in stages:
        submission.move(State.READY)
        if _has_no_swing(submission):
            mails.no_swing(submission)
    else:
        submission.move(State.UNREADABLE)
        mails.unreadable(submission)


def _has_no_swing(submission: Submission) -> bool:
    """Whether not one of the measured clips shows a swing."""
    measured = Measurement.objects.filter(clip__submission=submission, stage=Stage.DONE)
    return all(measurement.has_no_swing for measurement in measured)
