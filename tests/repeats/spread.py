"""How far readings and instants of one clip move from one way of sending it to the next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from analysis.read import Result, checkpoint

__all__ = ["Repeated", "repeated"]


@dataclass(frozen=True)
class Repeated:
    """One clip in several ways, the clip itself among them.

    swings    by way, the number of swings found
    readings  by swing and checkpoint ("1 down_front_knee"), the deviation (SD) over the ways in which it was read
    units     of those, "°" and the like
    lost      readings that are there in some ways and not readable in others, of all that are there in any
    calls     readings whose call is not the same in all ways in which they were read, of all that are there in any
    instants  by swing and instant, the greatest way in frames from the clip itself
    """

    swings: dict[str, int]
    readings: dict[str, float]
    units: dict[str, str]
    lost: int
    calls: int
    instants: dict[str, float]


def repeated(results: Mapping[str, Result], later: Mapping[str, int]) -> Repeated:
    """Compare results of one clip by way; the first is the clip itself.

    later  by way, how many frames were left out at the start
    Only swings that every way has are compared.
    """
    first, *_ = results.values()
    counts = {way: len(result.swings) for way, result in results.items()}
    readings, units, lost, calls, instants = {}, {}, 0, 0, {}
    for n in range(min(counts.values())):
        for reading in first.swings[n].readings:
            ways = [result.swings[n].reading(reading.checkpoint) for result in results.values()]
            values = [way.value for way in ways if way.value is not None]
            if not values:
                continue
            name = f"{n + 1} {reading.checkpoint}"
            lost += len(values) < len(ways)
            calls += len({way.call for way in ways if way.value is not None}) > 1
            if len(values) > 1:
                readings[name], units[name] = float(np.std(values, ddof=1)), checkpoint(reading.checkpoint).unit
        for name, instant in first.swings[n].instants.items():
            moved = [
                abs(other.frame + later.get(way, 0) - instant.frame)
                for way, result in results.items()
                if (other := result.swings[n].instants[name]).frame is not None and instant.frame is not None
            ]
            if moved:
                instants[f"{n + 1} {name}"] = float(max(moved))
    return Repeated(counts, readings, units, lost, calls, instants)
