"""Find work that got lost: a worker that died, a message that never arrived, a clip that was never queued."""

from __future__ import annotations

import logging
from datetime import datetime, timedelta

from django.conf import settings
from django.db.models import Q
from django.utils import timezone

from portal.after_commit import after_commit
from portal.intake import room
from portal.intake.models import Clip
from portal.intake.states import State
from portal.measuring import claims, door, queue, rounds, workplaces
from portal.measuring.models import RUNNING, Measurement, Stage

log = logging.getLogger(__name__)

LONG_QUEUE = timedelta(minutes=30)  # a clip behind others is asked for again only after this


def sweep() -> int:
    """Queue lost work again, each piece once. Returns how many pieces were found."""
    workplaces.clear()
    return _from_the_dead() + _without_message() + _never_queued() + rounds.ask_if_lost()


def _stale_before() -> datetime:
    return timezone.now() - timedelta(seconds=settings.MEASURE_STALE_S)


def _from_the_dead() -> int:
    """Clips whose worker has given no sign of life for too long: the claim is taken off and the clip waits again."""
    silent = Measurement.objects.filter(stage__in=RUNNING).filter(Q(seen_at__lt=_stale_before()) | Q(seen_at=None))
    found, full = 0, room.is_as_good_as_full()  # then it died of that, most likely
    for clip_id, token, attempt in silent.values_list("clip_id", "claim", "attempt"):
        if claims.release(clip_id, token, attempt, blameless=full):
            log.warning("Clip %s: its worker went silent at attempt %d.", clip_id, attempt)
            found += 1
    return found


def _without_message() -> int:
    """Clips that wait though the queue is empty, or very long: their message is sent again. A second does no harm."""
    patience = LONG_QUEUE if queue.length(queue.MEASURING) else timedelta(seconds=settings.MEASURE_STALE_S)
    lost = Measurement.objects.filter(stage=Stage.WAITING).exclude(clip__submission__state=State.WITHDRAWN)
    lost = lost.filter(Q(queued_at__lt=timezone.now() - patience) | Q(queued_at=None))
    found = 0
    for pk, clip_id, queued_at in lost.values_list("pk", "clip_id", "queued_at"):
        mine = Measurement.objects.filter(pk=pk, stage=Stage.WAITING, queued_at=queued_at)
        if mine.update(queued_at=timezone.now()):
            after_commit(queue.send, clip_id)
            found += 1
    return found


def _never_queued() -> int:
    """Clips that were kept, but whose server died before they were queued."""
    forgotten = Clip.objects.filter(
        measurement=None, submission__state__in=(State.RECEIVED, State.MEASURING), created_at__lt=_stale_before()
    )
    return len([door.start_measuring(clip) for clip in forgotten])
