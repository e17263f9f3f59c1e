"""What the worker for mail is asked to do. Each may be asked twice, or never: the database decides."""

from __future__ import annotations

from celery import shared_task
from django.conf import settings
from django.utils import timezone

from portal.outbox import retention, sending

# A silent server takes one time-out; one that dribbles is cut off here, before the worker is taken for dead.
LONGEST_S = int(sending.AT_A_STRETCH_S) + 2 * settings.EMAIL_TIMEOUT


@shared_task(soft_time_limit=LONGEST_S, time_limit=LONGEST_S + 10)
def send_waiting() -> int:
    return sending.send_waiting()


@shared_task
def forget_old() -> None:
    retention.forget(timezone.now())
