"""How a message gets into the queue: within two seconds or not at all.

The time-outs stand in the settings (CELERY_BROKER_TRANSPORT_OPTIONS). A page never waits for a queue that is down, full or
silent. What it could not put into the queue stands in the database and is found again by the sweep; so after one failure
nothing is tried for a few seconds more, and a page that has several messages to send waits once, not once for each.
"""

from __future__ import annotations

import time
from typing import Any

import redis
from celery import Task
from kombu.exceptions import OperationalError

PAUSE_S = 5.0
DOWN = (OperationalError, redis.RedisError, OSError)


class QueueIsDown(Exception):
    """The queue did not take a message a moment ago, so this one was not tried."""


NOT_TAKEN = (OperationalError, redis.RedisError, QueueIsDown)


class Hurried(Task):
    """Every task of the portal: `delay` and `apply_async` give up soon, and at once while the queue is known to be down."""

    _until = float("-inf")

    def apply_async(self, *args: Any, **options: Any) -> Any:
        if time.monotonic() < Hurried._until:
            raise QueueIsDown
        try:
            return super().apply_async(*args, **options)
        except DOWN:
            Hurried._until = time.monotonic() + PAUSE_S
            raise

    @classmethod
    def forget(cls) -> None:
        """Take the queue for well again."""
        Hurried._until = float("-inf")
