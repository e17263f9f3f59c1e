"""Put a clip into the queue: the first time, and again after it failed."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone

from portal.after_commit import after_commit
from portal.intake.models import Clip
from portal.intake.states import State
from portal.measuring import queue
from portal.measuring.models import Measurement, Stage


def start_measuring(clip: Clip) -> Measurement:
    """Put the clip into the queue once the transaction holds. Asking twice changes nothing."""
    measurement, is_new = Measurement.objects.get_or_create(clip=clip, defaults={"queued_at": timezone.now()})
    if is_new:
        after_commit(queue.send, clip.pk)  # what gets lost here, the sweep finds
    return measurement


@transaction.atomic
def measure_again(measurement: Measurement) -> bool:
    """Queue a failed clip anew with a fresh count of attempts. False when it is not one that failed."""
    failed = Measurement.objects.filter(pk=measurement.pk, stage=Stage.FAILED)
    if not failed.update(stage=Stage.WAITING, attempt=0, failure_code="", failure_words="", queued_at=timezone.now()):
        return False
    submission = measurement.clip.submission
    if submission.state == State.UNREADABLE:
        submission.move(State.RECEIVED)
    after_commit(queue.send, measurement.clip_id)
    return True
