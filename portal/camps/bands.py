"""A camp's own bands: which hold for a level, and changing them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.db.models import F, FilteredRelation, Q

from portal.camps.models import BandChange, Camp, OwnBand
from portal.people.models import User

Band = tuple[float | None, float | None]
Bands = dict[str, Band]
ALL = ""  # the level of what stands for all levels


class Stale(Exception):
    """Somebody else changed the camp's bands since this page was shown."""


def own_bands(camp_id: int, level: str) -> tuple[int, Bands]:
    """The camp's own bands for a level by checkpoint, and their version: asked for at once, so that nothing is changed in between."""
    band = FilteredRelation("own_bands", condition=Q(own_bands__level__in=[ALL, level]))
    names = ("bands_version", "band__checkpoint", "band__level", "band__low", "band__high")
    rows = list(Camp.objects.filter(pk=camp_id).annotate(band=band).values_list(*names))
    if not rows:
        raise Camp.DoesNotExist(f"There is no camp {camp_id}.")
    bands = [row for row in rows if row[1] is not None]  # a camp without any is one row of its version alone
    bands.sort(key=lambda row: row[2] != ALL)
    return rows[0][0], {checkpoint: (low, high) for _version, checkpoint, _level, low, high in bands}


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
