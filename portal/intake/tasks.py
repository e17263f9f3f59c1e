"""Work of intake that no page waits for."""

from __future__ import annotations

import logging

from celery import shared_task

from portal.health import ballast
from portal.intake import erase
from portal.intake.tus import uploads

log = logging.getLogger(__name__)


@shared_task
def erase_leftovers() -> None:
    """Once an hour: uploads that nobody went on with, and files that a crash left behind."""
    uploads.end_expired()
    erase.erase_half_sent()
    ballast.take_aboard()
    for name in erase.erase_leftovers():
        log.info("Deleted %s, which belonged to nothing any more.", name)


@shared_task
def finish_uploads() -> int:
    """Once a minute: uploads that are whole, and whose server died before the clip was there."""
    return uploads.finish_whole()
