"""Reading many old clips again, some at a time, behind the clips that families have just sent.

One message at a time goes through the queue of those who measure. It reads until a fresh clip waits or two seconds are over,
at least one, and sends the next one, which then stands behind whatever came meanwhile. A message that was lost, with its
worker or its queue, is missed by the sweep.
"""

from __future__ import annotations

import time

from django.conf import settings
from django.core.cache import cache

from portal.after_commit import after_commit
from portal.intake.states import State
from portal.measuring import queue, rereading
from portal.measuring.models import NO_ROOM, Measurement, Stage

ROUND_S = 2.0
AT_MOST = 40
ASKED = "reading-again-asked"  # a second message does no harm, so that a cache is good enough to tell
BEHIND_OTHERS_S = 300  # a message behind fresh clips is taken for lost only after so long


def ask_if_lost() -> int:
    """Ask for a round where clips wait and none is on its way: 1 if it was asked for."""
    if not rereading.waiting().exists():
        return 0
    patience = BEHIND_OTHERS_S if queue.length(queue.MEASURING) else settings.MEASURE_STALE_S
    if not cache.add(ASKED, True, patience):
        return 0
    after_commit(queue.send_reading_again)
    return 1


def read_some() -> int:
    """Read some clips again and ask for the next round when there are more. How many were looked at."""
    cache.set(ASKED, True, settings.MEASURE_STALE_S)  # taken: from here on only this worker can be lost
    begun, count = time.monotonic(), 0
    for pk in list(rereading.waiting().values_list("pk", flat=True)[:AT_MOST]):
        rereading.read_again(pk)
        count += 1
        if time.monotonic() - begun > ROUND_S or _fresh_one_waits():
            break
    cache.delete(ASKED)
    after_commit(ask_if_lost)
    return count


def _fresh_one_waits() -> bool:
    waiting = Measurement.objects.filter(stage=Stage.WAITING).exclude(failure_code=NO_ROOM)
    return waiting.exclude(clip__submission__state=State.WITHDRAWN).exists()
