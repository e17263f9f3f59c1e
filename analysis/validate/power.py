"""What calls are worth: whether a fault of a known size is called, and whether sound swings are left alone."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analysis.read.calls import call_for
from analysis.validate.judged import Told

__all__ = ["PLANTED", "called_out", "calls_of"]

# Half-widths of its own interval by which the truth lies beyond the band's edge; below zero within the band.
PLANTED = (-1, 0, 1, 2, 3)


def called_out(rows: Sequence[Told], beyond: float) -> list[bool]:
    """Whether each reading would be called out of range were its band laid so that the truth lies so far beyond its edge.

    beyond  half-widths of the reading's interval; the band ends below the truth once, and above it once, so each reading counts twice
    """
    said = []
    for row in rows:
        if row.interval is not None:
            reach = beyond * row.half
            bands = ((None, row.truth - reach), (row.truth + reach, None))
            said += [call_for(row.interval, band) == "out of range" for band in bands]
    return said


def calls_of(rows: Sequence[Told]) -> dict[str, float]:
    """The share of each call, by the book's own bands; empty without rows."""
    calls = ("in range", "out of range", "too close to call", "not readable")
    return {call: float(np.mean([row.call == call for row in rows])) for call in calls} if rows else {}
