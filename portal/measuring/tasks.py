"""What a worker is asked to do. Each may be asked twice, or never: the database decides."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from celery import shared_task
from celery.signals import celeryd_init

from portal.measuring import door, queue, rounds, sweeping, work


@celeryd_init.connect
def get_ready_to_read(options: Mapping[str, Any], **kwargs: object) -> None:
    """A worker that measures loads what reading needs before it takes a clip: amid the clip it would seem to have gone silent."""
    queues = options.get("queues")
    if not queues or queue.MEASURING in queues:
        door.preload_scipy()


@shared_task
def measure_clip(clip_id: str) -> str:
    return work.measure(UUID(clip_id))


@shared_task
def read_some_again() -> int:
    return rounds.read_some()


@shared_task
def sweep() -> int:
    return sweeping.sweep()
