"""Where a submission stands in line: before the workers, and before the coach."""

from __future__ import annotations

from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.models import RUNNING, Measurement, Stage


def newest_clip(submission: Submission) -> Clip | None:
    return submission.clips.select_related("measurement").order_by("-created_at").first()


def measurement_of(clip: Clip | None) -> Measurement | None:
    """The clip's measurement, or None where the workers have not heard of it yet."""
    return getattr(clip, "measurement", None) if clip else None


def clips_before(clip: Clip) -> int:
    """How many clips are measured now or come before this one."""
    ahead = Measurement.objects.exclude(clip=clip).filter(clip__created_at__lt=clip.created_at)
    return ahead.filter(stage__in=[Stage.WAITING, *RUNNING]).count()


def players_before(submission: Submission) -> int:
    """How many submissions of the same camp have waited for the coach longer than this one."""
    if submission.received_at is None:
        return 0
    waiting = Submission.objects.filter(camp=submission.camp, state=State.READY).exclude(pk=submission.pk)
    return waiting.filter(received_at__lt=submission.received_at).count()
