"""A camp's own bands: which hold for a level, and changing them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.db.models import F

from portal.camps.models import BandChange, Camp, OwnBand
from portal.people.models import User

Band = tuple[float | None, float | None]
Bands = dict[str, Band]
ALL = ""  # the level of what stands for all levels


class Stale(Exception):
    """Somebody else changed the camp's bands since this page was shown."""


def own_bands(camp_id: int, level: str) -> tuple[int, Bands]:
    """The camp's own bands for a level by checkpoint, and their version.

    The version is asked for first: what is changed in between is then read once more, and never missed.
    """
    version = Camp.objects.values_list("bands_version", flat=True).get(pk=camp_id)
    rows = OwnBand.objects.filter(camp=camp_id, level__in={ALL, level})
    return version, {row.checkpoint: (row.low, row.high) for row in sorted(rows, key=lambda row: row.level != ALL)}


def kept(camp_id: int, level: str) -> Bands:
    """What the camp put in for exactly this level (or for all)."""
    rows = OwnBand.objects.filter(camp=camp_id, level=level)
    return {row.checkpoint: (row.low, row.high) for row in rows}


@transaction.atomic
def change(camp: Camp, level: str, version: int, wanted: Mapping[str, Band | None], by: User) -> int:
    """Put in these bands by checkpoint; None takes the camp's own away. Notes who did it. How many were changed.

    Raises Stale when `version` is the newest no more.
    """
    before = kept(camp.pk, level)
    changed = {key: band for key, band in wanted.items() if band != before.get(key)}
    mine = Camp.objects.filter(pk=camp.pk, bands_version=version)
    if not mine.update(bands_version=F("bands_version") + int(bool(changed))):
        raise Stale
    for checkpoint, band in changed.items():
        row: dict[str, Any] = {"camp": camp, "level": level, "checkpoint": checkpoint}
        if band is None:
            OwnBand.objects.filter(**row).delete()
        else:
            OwnBand.objects.update_or_create(**row, defaults={"low": band[0], "high": band[1]})
        was = before.get(checkpoint)
        after = list(band) if band else None
        BandChange.objects.create(**row, before=list(was) if was else None, after=after, by=by)
    return len(changed)
