"""Work of erasing and of keeping that no page waits for."""

from __future__ import annotations

from celery import shared_task

from portal.privacy import finishing


@shared_task
def finish_erasures() -> int:
    """Finish what an erasure left to do. Asked twice, the second finds nothing."""
    return finishing.finish_all()
