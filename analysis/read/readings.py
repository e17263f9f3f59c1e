"""Measure every checkpoint of the book at the moments of one swing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from analysis.read.book import CHECKPOINTS, band_for
from analysis.read.calls import call_for
from analysis.read.checkpoint import Band, Checkpoint
from analysis.read.geometry import Draws
from analysis.read.moments import Moments, Unreadable
from analysis.read.result import Reading
from analysis.read.terms import SIDE_VIEWS, VIEW_NAMES

__all__ = ["interval_of", "read_checkpoints"]

NINETY_PERCENT: Final = (5.0, 95.0)
# An interval wider than this share of the reading strip tells nothing.
WIDEST_SHARE: Final = 0.8


def read_checkpoints(
    moments: Moments, view: str, level: str, bands: Mapping[str, Band] | None = None
) -> tuple[Reading, ...]:
    """One reading for every checkpoint of the book, in its order."""
    return tuple(_reading(entry, moments, view, band_for(entry, level, bands)) for entry in CHECKPOINTS)


def _reading(entry: Checkpoint, moments: Moments, view: str, band: Band) -> Reading:
    if entry.measure is None:
        return _without_value(entry, band, "coach's eye", "Only a coach's eye can rate this.")
    try:
        value, interval = _measured(entry, moments, view)
    except Unreadable as why:
        return _without_value(entry, band, "not readable", str(why))
    return Reading(
        checkpoint=entry.id,
        instant=entry.instant,
        value=value,
        unit=entry.unit,
        interval=interval,
        band=band,
        scale=entry.scale,
        call=call_for(interval, band),
    )


def _measured(entry: Checkpoint, moments: Moments, view: str) -> tuple[float, tuple[float, float]]:
    """Value and interval; raises Unreadable with the reason where there is none worth showing."""
    assert entry.measure is not None
    if view not in entry.views:
        raise Unreadable(f"This cannot be seen from {VIEW_NAMES[view]}; film from {_better_views(entry)} to read it.")
    with np.errstate(invalid="ignore", divide="ignore"):
        draws = entry.measure(moments)
    if not np.isfinite(draws[0]):
        raise Unreadable("The parts of the body that this needs were not seen at this moment.")
    interval = interval_of(draws)
    if interval[1] - interval[0] > WIDEST_SHARE * (entry.scale[1] - entry.scale[0]):
        raise Unreadable(
            f"Here the error would be larger than the difference that matters (±{(interval[1] - interval[0]) / 2:.0f} "
            f"{entry.unit}); a sharper, closer film helps."
        )
    return float(draws[0]), interval


def interval_of(draws: Draws) -> tuple[float, float]:
    """90 % interval about draws[0], the best estimate.

    The draws scatter about the estimate as the estimate scatters about the truth, so their spread counts as it is and
    mirrored at the estimate: noise can only make a length longer, which leaves the truth below, but it may also have
    hidden it. What no draw reaches is impossible and stays outside.
    """
    known = draws[np.isfinite(draws)]
    low, high = (float(end) for end in np.percentile(known, NINETY_PERCENT))
    value = float(draws[0])
    below = min(low, max(2.0 * value - high, float(known.min())), value)
    above = max(high, min(2.0 * value - low, float(known.max())), value)
    return below, above


def _better_views(entry: Checkpoint) -> str:
    named = [VIEW_NAMES[view] for view in entry.views if view != "unknown"]
    if entry.views == SIDE_VIEWS:
        return "the chest side or the back side"
    return " or ".join(named)


def _without_value(entry: Checkpoint, band: Band, call: str, reason: str) -> Reading:
    return Reading(entry.id, entry.instant, None, entry.unit, None, band, entry.scale, call, reason)
