"""Work of intake that no page waits for."""

from __future__ import annotations

import logging

from celery import shared_task

from portal.intake import erase

log = logging.getLogger(__name__)


@shared_task
def erase_leftovers() -> None:
    """Once a day: files that a crash left behind, of clips and evaluations that are gone."""
    for name in erase.erase_leftovers():
        log.info("Deleted %s, which belonged to nothing any more.", name)
