"""What calls are worth: whether a fault of a known size is called, and whether sound swings are left alone.

Sizes are counted in usual half-widths: half of the 90 % interval, the median over all readings of a checkpoint from a group of views.
Counted in each reading's own half-width the answer would follow from coverage alone: at two of them it is (1 + coverage) / 2.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from analysis.read.calls import call_for
from analysis.validate.judged import Key, Told, grouped

__all__ = ["PLANTED", "SIZES", "beyond_band", "called_out", "calls_of", "usual_halves"]

# Usual half-widths by which the truth lies beyond the band's edge; below zero within the band.
PLANTED = (-1, 0, 1, 2, 3)
# Ends of the sizes by which the faults that there are fall into groups.
SIZES = (0.0, 1.0, 2.0, 3.0, float("inf"))


def usual_halves(rows: Sequence[Told]) -> dict[Key, float]:
    """Median half-width by checkpoint, group and rate; where nothing was read there is none."""
    halves = {
        key: [row.half for row in own if row.read] for key, own in grouped(rows, {row.name: 0 for row in rows}).items()
    }
    return {key: float(np.median(own)) for key, own in halves.items() if own}


def called_out(rows: Sequence[Told], beyond: float, usual: Mapping[Key, float]) -> list[bool]:
    """Whether each reading would be called out of range were its band laid so that the truth lies so far beyond its edge.

    The band ends below the truth once, and above it once, so each reading counts twice. What was not readable calls nothing; what is
    never readable from a group of views is left out.
    """
    said = []
    for row in rows:
        half = usual.get((row.name, row.group, row.rate))
        if half is not None:
            reach = beyond * half
            bands = ((None, row.truth - reach), (row.truth + reach, None))
            said += [row.interval is not None and call_for(row.interval, band) == "out of range" for band in bands]
    return said


def beyond_band(row: Told, usual: Mapping[Key, float]) -> float | None:
    """By how many usual half-widths the truth lies outside the book's band; None where it lies within, or none is usual."""
    half = usual.get((row.name, row.group, row.rate))
    if row.sound or not half:
        return None
    low, high = row.band
    below = 0.0 if low is None else low - row.truth
    above = 0.0 if high is None else row.truth - high
    return max(below, above) / half


def calls_of(rows: Sequence[Told]) -> dict[str, float]:
    """The share of each call, by the book's own bands; empty without rows."""
    calls = ("in range", "out of range", "too close to call", "not readable")
    return {call: float(np.mean([row.call == call for row in rows])) for call in calls} if rows else {}
