"""A coach's corrections: read with them at once, and kept unless another window was quicker."""

from __future__ import annotations

from typing import Any

from portal.measuring import door, numbering
from portal.measuring.models import Measurement, Stage


class Stale(Exception):
    """The corrections were changed elsewhere since this window read them; the measurement holds the newer ones."""


def apply(measurement: Measurement, corrections: dict[str, Any], version: int) -> dict[int, int]:
    """Read the clip with `corrections` in place of the former ones and keep both, if `version` is still the newest.

    Gives the swings' numbers that moved, former to new: see numbering.py.

    Raises Stale, or ValueError with words when a correction can't be used; then nothing is changed.
    """
    if measurement.corrections_version != version:
        raise Stale
    result = door.read_again(measurement, corrections)
    moved: dict[int, int] = {}
    former = measurement.corrections, (measurement.result or {})["swings"]
    if not numbering.stands(*former, corrections, result["swings"]):
        corrections, moved = numbering.renumbered(
            former[0], corrections, lambda some: door.read_again(measurement, some)["swings"]
        )
        result = door.read_again(measurement, corrections)
    mine = Measurement.objects.filter(pk=measurement.pk, corrections_version=version, stage=Stage.DONE)
    if not mine.update(corrections=corrections, corrections_version=version + 1, result=result):
        raise Stale
    measurement.corrections, measurement.corrections_version, measurement.result = corrections, version + 1, result
    return moved
