"""From a value with its interval to a call against the band."""

from __future__ import annotations

from analysis.read.checkpoint import Band
from analysis.read.terms import CALLS

IN_RANGE, OUT_OF_RANGE = CALLS[:2]


def call_for(interval: tuple[float, float], band: Band) -> str:
    """Whether a 90 % interval lies in the band; both ends of the band belong to it.

    >>> call_for((20.0, 30.0), (None, 45.0))
    'in range'
    >>> call_for((43.0, 53.0), (None, 45.0))
    'too close to call'
    >>> call_for((46.0, 53.0), (None, 45.0))
    'out of range'
    """
    low = float("-inf") if band[0] is None else band[0]
    high = float("inf") if band[1] is None else band[1]
    if low <= interval[0] and interval[1] <= high:
        return "in range"
    return "out of range" if missed_side(interval, band) else "too close to call"


def missed_side(interval: tuple[float, float], band: Band) -> str:
    """On which side of the band a 90 % interval surely lies: "low", "high", or "" where it may be in it.

    >>> missed_side((20.0, 30.0), (32.0, None)), missed_side((46.0, 53.0), (None, 45.0)), missed_side((43.0, 53.0), (None, 45.0))
    ('low', 'high', '')
    """
    if band[0] is not None and interval[1] < band[0]:
        return "low"
    return "high" if band[1] is not None and interval[0] > band[1] else ""
