"""Where a submission stands in line: before the workers, and before the coach."""

from __future__ import annotations

from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.models import RUNNING, Measurement, Stage

UNDER_WAY = (State.UPLOADING, State.RECEIVED, State.MEASURING)


def telling_clip(submission: Submission) -> Clip | None:
    """The clip of which the status page speaks: the newest while one is on its way or measured.

    Afterwards it is the newest that shows a swing, else the newest measured: a clip that was sent after a good one and
    cannot be used takes nothing from the good one, and the coach will look at that.
    """
    clips = list(submission.clips.select_related("measurement").order_by("-created_at"))
    if submission.state not in UNDER_WAY:
        measured = [clip for clip in clips if (about := measurement_of(clip)) and about.is_measured]
        swinging = [clip for clip in measured if not clip.measurement.has_no_swing]
        clips = swinging or measured or clips
    return clips[0] if clips else None


def swings_found(submission: Submission) -> int:
    """In all its measured clips together."""
    measured = Measurement.objects.filter(clip__submission=submission, stage=Stage.DONE)
    return sum(len((result or {}).get("swings", [])) for result in measured.values_list("result", flat=True))


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
