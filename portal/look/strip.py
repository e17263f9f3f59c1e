"""Where the parts of a reading strip lie: pure arithmetic for page and PDF (static/js/strip.js is its twin for the desk)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

Pair = Sequence[float | None]


@dataclass(frozen=True)
class Span:
    """A stretch of the scale, in percent of its length from the low end; `start <= end`."""

    start: float
    end: float

    @property
    def width(self) -> float:
        return round(self.end - self.start, 2)


@dataclass(frozen=True)
class Geometry:
    """Positions in percent of the scale, 0 at its low end and 100 at its high end; None where there is nothing to draw.

    `off` is "low" or "high" when the value lies beyond the scale: an arrow at that end then stands for the needle.
    `ticks` are the values of single swings, those that lie on the scale.
    """

    band: Span | None
    bar: Span | None
    needle: float | None
    off: str | None
    ticks: tuple[float, ...] = ()


def geometry(
    scale: Sequence[float],
    band: Pair | None,
    value: float | None,
    interval: Sequence[float] | None,
    swings: Sequence[float] = (),
) -> Geometry:
    """Lay out one reading on its scale.

    Parameters
    ----------
    scale : (low, high), in the unit of the reading, low < high.
    band : (low, high), either end None where the band is open; None where there is no band.
    value, interval : the reading and its (low, high) ends; None where it could not be read.
    swings : the values of the single swings that the value is the middle of.

    Band and interval are cut at the ends of the scale; what lies wholly outside is not drawn.

    Raises
    ------
    ValueError
        For a scale that is not two finite numbers in rising order, or an interval the wrong way round.

    Examples
    --------
    >>> geometry((0, 90), (None, 45), 31, (22, 40)).needle
    34.44
    """
    low, high = scale
    if not (isfinite(low) and isfinite(high) and low < high):
        raise ValueError(f"A scale needs two finite numbers in rising order, got {low!r} and {high!r}.")
    if interval is not None and interval[0] > interval[1]:
        raise ValueError(f"An interval goes from low to high, got {interval[0]!r} to {interval[1]!r}.")
    off = None if value is None or low <= value <= high else ("low" if value < low else "high")
    return Geometry(
        band=None
        if band is None
        else _span(low, high, low if band[0] is None else band[0], high if band[1] is None else band[1]),
        bar=None if value is None or interval is None else _span(low, high, interval[0], interval[1]),
        needle=None if value is None or off else _percent(low, high, value),
        off=off,
        ticks=tuple(_percent(low, high, one) for one in swings if low <= one <= high),
    )


def _span(low: float, high: float, start: float, end: float) -> Span | None:
    """The part of start..end that lies on the scale, or None."""
    if end < low or start > high or start > end:
        return None
    return Span(_percent(low, high, max(start, low)), _percent(low, high, min(end, high)))


def _percent(low: float, high: float, x: float) -> float:
    return round(100 * (x - low) / (high - low), 2)
