"""A coach's corrections: read with them at once, and kept unless another window was quicker."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from portal.desk import counting
from portal.measuring import door, numbering, rereading
from portal.measuring.models import Measurement, Stage


class Stale(Exception):
    """The corrections were changed elsewhere since this window read them; the measurement holds the newer ones."""


def apply(
    measurement: Measurement, corrections: dict[str, Any], version: int, unanswered: dict[str, Any] | None = None
) -> dict[int, int]:
    """Read the clip with `corrections` in place of the former ones and keep both, if `version` is still the newest, or became the
    one before by the same window's `unanswered` corrections.

    Gives the swings' numbers that moved, former to new: see numbering.py.

    Raises Stale, or ValueError with words when a correction can't be used; then nothing is changed.
    """
    try:
        return _apply(measurement, corrections, version)
    except Stale:
        if unanswered is None:
            raise
        measurement.refresh_from_db(fields=["corrections", "corrections_version", "result"])
        if (measurement.corrections_version, measurement.corrections) != (version + 1, unanswered):
            raise
        return _apply(measurement, corrections, version + 1)


def _apply(measurement: Measurement, corrections: dict[str, Any], version: int) -> dict[int, int]:
    if rereading.is_outdated(
        measurement
    ):  # two methods can't be told apart in one step: first the newest, then the hand
        rereading.read_again(measurement.pk)
        measurement.refresh_from_db()
    if measurement.corrections_version != version:
        raise Stale
    try:
        result = door.read_again(measurement, corrections)
    except FileNotFoundError as error:
        raise ValueError(_("The track of this film is not kept, so nothing can be read again.")) from error
    moved: dict[int, int] = {}
    former = measurement.corrections, (measurement.result or {})["swings"]
    if not numbering.stands(*former, corrections, result["swings"]):
        corrections, moved = numbering.renumbered(
            former[0], corrections, lambda some: door.read_again(measurement, some)["swings"]
        )
        result = door.read_again(measurement, corrections)
    mine = Measurement.objects.filter(pk=measurement.pk, corrections_version=version, stage=Stage.DONE)
    columns = {"corrections": corrections, "corrections_version": version + 1, **door.kept(result)}
    if not mine.update(**columns):
        raise Stale
    for name, value in columns.items():
        setattr(measurement, name, value)
    if moved:
        counting.renumber(measurement.clip_id, moved)
    return moved
