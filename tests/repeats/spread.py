"""How far readings and instants of one clip move from one way of sending it to the next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from analysis.read import Result, Swing, checkpoint

__all__ = ["Repeated", "repeated"]


@dataclass(frozen=True)
class Repeated:
    """One clip in several ways, the clip itself among them.

    swings    by way, the number of swings found
    readings  by swing and checkpoint ("1 down_front_knee"), the deviation (SD) over the ways in which it was read
    halves    of those, half of the 90 % interval, the mean over the ways
    units     of those, "°" and the like
    lost      readings that are there in some ways and not readable in others, of all that are there in any
    calls     readings whose call is not the same in all ways in which they were read, of all that are there in any
    instants  by swing and instant, how many frames it moved from the clip itself at most
    """

    swings: dict[str, int]
    readings: dict[str, float]
    halves: dict[str, float]
    units: dict[str, str]
    lost: int
    calls: int
    instants: dict[str, float]


def repeated(results: Mapping[str, Result], later: Mapping[str, int]) -> Repeated:
    """Compare results of one clip by way; the first is the clip itself.

    later  by way, how many frames were left out at the start
    A swing is compared over the ways in which there is one that shares most of its frames.
    """
    first, *_ = results.values()
    counts = {way: len(result.swings) for way, result in results.items()}
    readings, halves, units, lost, calls, instants = {}, {}, {}, 0, 0, {}
    for swing in first.swings:
        same = {way: _same(swing, result, later.get(way, 0)) for way, result in results.items()}
        found = {way: other for way, other in same.items() if other}
        for reading in swing.readings:
            ways = [other.reading(reading.checkpoint) for other in found.values()]
            values = [way.value for way in ways if way.value is not None]
            wide = [way.interval[1] - way.interval[0] for way in ways if way.interval is not None]
            if not values:
                continue
            name = f"{swing.index + 1} {reading.checkpoint}"
            lost += len(values) < len(results)
            calls += len({way.call for way in ways if way.value is not None}) > 1
            if len(values) > 1:
                readings[name], units[name] = float(np.std(values, ddof=1)), checkpoint(reading.checkpoint).unit
                halves[name] = float(np.mean(wide)) / 2
        for name, instant in swing.instants.items():
            moved = [
                abs(frame + later.get(way, 0) - instant.frame)
                for way, other in found.items()
                if (frame := other.instants[name].frame) is not None and instant.frame is not None
            ]
            if len(moved) > 1:
                instants[f"{swing.index + 1} {name}"] = float(max(moved))
    return Repeated(counts, readings, halves, units, lost, calls, instants)


def _same(swing: Swing, result: Result, later: int) -> Swing | None:
    """The swing of another way that shares more than half of this one's frames; None where there is none."""
    for other in result.swings:
        shared = min(swing.end_frame, other.end_frame + later) - max(swing.start_frame, other.start_frame + later)
        if 2 * shared > swing.end_frame - swing.start_frame:
            return other
    return None
