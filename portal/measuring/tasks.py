"""What a worker is asked to do. Each may be asked twice, or never: the database decides."""

from __future__ import annotations

from uuid import UUID

from celery import shared_task

from portal.measuring import sweeping, work


@shared_task
def measure_clip(clip_id: str) -> str:
    return work.measure(UUID(clip_id))


@shared_task
def sweep() -> int:
    return sweeping.sweep()
