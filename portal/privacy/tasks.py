"""Work of erasing and of keeping that no page waits for."""

from __future__ import annotations

from celery import shared_task

from portal.privacy import finishing, lacking, retention


@shared_task
def finish_erasures() -> int:
    """Finish what an erasure left to do, and note what the ledger lacks. Asked twice, the second finds nothing."""
    try:
        return finishing.finish_all()
    finally:
        lacking.note_all()


@shared_task
def keep_no_longer() -> int:
    """Once a day: what camps keep no longer, and the emails before."""
    return retention.keep_no_longer()
