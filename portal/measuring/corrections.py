"""A coach's corrections: read with them at once, and kept unless another window was quicker."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _

from portal.desk import counting
from portal.measuring import door, numbering, rereading
from portal.measuring.models import Measurement, Stage


class Stale(Exception):
    """The corrections were changed elsewhere since this window read them; the measurement holds the newer ones."""


def apply(
    measurement: Measurement, corrections: dict[str, Any], version: int, unanswered: Sequence[dict[str, Any]] = ()
) -> dict[int, int]:
    """Read the clip with `corrections` in place of the former ones and keep both, if `version` is still the newest, or nothing came
    since but what the same window has `unanswered`, oldest first: any of that may have arrived, or arrive while this is read.

    Gives the swings' numbers that moved, former to new: see numbering.py.

    Raises Stale, or ValueError with words when a correction can't be used; then nothing is changed.
    """
    base = version
    for _arrived in unanswered:
        try:
            return _apply(measurement, corrections, base)
        except Stale:
            measurement.refresh_from_db(fields=["corrections", "corrections_version", "result"])
            ahead = measurement.corrections_version - version
            if ahead < 1 or measurement.corrections not in unanswered[ahead - 1 :]:
                raise
            base = measurement.corrections_version
    return _apply(measurement, corrections, base)


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
