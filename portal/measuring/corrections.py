"""A coach's corrections: read with them at once, and kept unless another window was quicker."""

from __future__ import annotations

from typing import Any

from portal.measuring import door
from portal.measuring.models import Measurement, Stage


class Stale(Exception):
    """The corrections were changed elsewhere since this window read them; the measurement holds the newer ones."""


def apply(measurement: Measurement, corrections: dict[str, Any], version: int) -> Measurement:
    """Read the clip with `corrections` in place of the former ones and keep both, if `version` is still the newest.

    Raises Stale, or ValueError with words when a correction can't be used; then nothing is changed.
    """
    if measurement.corrections_version != version:
        raise Stale
    result = door.read_again(measurement, corrections)
    mine = Measurement.objects.filter(pk=measurement.pk, corrections_version=version, stage=Stage.DONE)
    if not mine.update(corrections=corrections, corrections_version=version + 1, result=result):
        raise Stale
    measurement.corrections, measurement.corrections_version, measurement.result = corrections, version + 1, result
    return measurement
