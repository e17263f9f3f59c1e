"""What follows an erasure once its rows are gone: files, workplaces, messages, and what the database keeps of deleted rows.

Each step can be done twice. Until all of them are done the Erasure holds what they need, and beat asks again.
"""

from __future__ import annotations

import logging
import shutil

from django.db.models import QuerySet
from django.utils import timezone

from portal.intake import erase
from portal.measuring import workplaces
from portal.privacy import ledger, messages, scrubbing
from portal.privacy.models import Erasure

log = logging.getLogger(__name__)


def ask_worker(erasure_id: int) -> None:
    from portal.privacy.tasks import finish_erasures

    finish_erasures.delay()


def delete_files(erasure_id: int) -> None:
    row = Erasure.objects.filter(pk=erasure_id).first()
    if row is not None:
        erase.delete_files(row.files, row.folders)
        _clear_workplaces(row.ids)


def unfinished() -> QuerySet[Erasure]:
    return Erasure.objects.filter(finished_at=None).order_by("pk")


def finish_all() -> int:
    """Finish what is not finished. Returns how many were; raises what stood in the way of the first that failed."""
    rows = list(unfinished())
    for row in rows:
        erase.delete_files(row.files, row.folders)
        _clear_workplaces(row.ids)
        messages.forget(row.ids)
        for kind, key in row.owed:
            ledger.note(kind, key)
    if rows:
        Erasure.objects.filter(pk__in=[row.pk for row in rows]).update(files=[], folders=[], ids=[], owed=[])
        scrubbing.scrub()
        messages.forget_on_disk()
        Erasure.objects.filter(pk__in=[row.pk for row in rows]).update(finished_at=timezone.now())
    return len(rows)


def _clear_workplaces(ids: list[str]) -> None:
    """The folders in which a worker on this machine measures, or was killed measuring, one of these clips."""
    for clip_id in ids:
        for place in workplaces.root().glob(f"{clip_id}-*"):
            shutil.rmtree(place, ignore_errors=True)
