"""Kinds of arrays, and values between their rows."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Floats32 = NDArray[np.float32]
Frames = NDArray[np.int_]  # frames of a clip, by number
Flags = NDArray[np.bool_]


def step_of(times: Array) -> float:
    """The usual time from one of the times [F] to the next, in their unit; 1 where there is but one."""
    return float(np.median(np.diff(times))) if times.size > 1 else 1.0


def median_of_known(values: Array) -> float:
    """The median of those of the values [N] that are known; NaN where none is."""
    known = values[np.isfinite(values)]
    return float(np.median(known)) if known.size else float("nan")


def interpolated(rows: Array, times: Array, wanted: Array) -> Array:
    """Rows [F, ...] at other times [N], by straight lines between their own times [F], held at the ends; F at least one."""
    before, after, share = neighbours(rows, times, wanted)
    return (1.0 - share) * before + share * after


def neighbours(rows: Array, times: Array, wanted: Array) -> tuple[Array, Array, Array]:
    """Rows [N, ...] before and after other times [N], and how far each time is on the way, 0..1."""
    place = np.interp(wanted, times, np.arange(len(times)))
    before = np.minimum(place.astype(int), max(len(times) - 2, 0))
    share = (place - before).reshape(-1, *([1] * (rows.ndim - 1)))
    return rows[before], rows[np.minimum(before + 1, len(times) - 1)], share
