"""How an angle mark is told: never by more than 90°, so that a knee shows its bend, as every number that reaches a family.

Up to a right angle it is the opening between its two arms. Beyond, it is what is missing to a straight line: the first arm is
drawn on past the corner, and the number stands between that and the second arm (static/js/desk/angles.js is its twin).
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from math import acos, cos, degrees, dist, hypot, radians
from pathlib import Path

Point = tuple[float, float]

# how far the first arm is drawn on, in lengths of the second
GOES_ON = json.loads((Path(__file__).resolve().parents[2] / "static" / "marks.json").read_text())["angle"]["goes_on"]


@dataclass(frozen=True)
class AngleMark:
    """`size` in degrees, 0 to 90. `on` is where the first arm is drawn on to, None where it is not. `toward` is the direction,
    of length 1 to 1.42, in which the number stands from the corner: beside it, clear of both arms.
    """

    size: float
    on: Point | None
    toward: Point


def angle_mark(end: Point, corner: Point, other: Point) -> AngleMark | None:
    """The mark with its arms to `end` and `other`; None where an arm has no length.

    >>> angle_mark((0, -50), (0, 0), (50, 0)).size, angle_mark((0, -50), (0, 0), (50, 50)).size
    (90.0, 45.0)
    >>> angle_mark((0, -50), (0, 0), (30, 40)).on
    (0.0, 30.0)
    """
    if not (dist(end, corner) and dist(other, corner)):
        return None
    inner = angle_between(end, corner, other)
    a, b = _unit(corner, end), _unit(corner, other)
    on = None
    if inner > 90:
        a = (-a[0], -a[1])
        reach = GOES_ON * dist(other, corner)
        on = (corner[0] + reach * a[0], corner[1] + reach * a[1])
    size = min(inner, 180 - inner)
    return AngleMark(round(size, 6), on, _toward(a, b, size))


@dataclass(frozen=True)
class AxisMark:
    """`size` in degrees, 0 to 90. `on` ends the thin arm along the axis. `toward` as in `AngleMark`."""

    size: float
    on: Point
    toward: Point


def axis_mark(corner: Point, end: Point, axis: str) -> AxisMark | None:
    """A line from `corner` to `end` against the picture's vertical ("upright") or horizontal ("level"): the smaller angle. None
    where the line has no length.

    >>> axis_mark((0, 0), (50, -50), "upright").size, axis_mark((0, 0), (50, 0), "level").size
    (45.0, 0.0)
    """
    far = dist(corner, end)
    if not far:
        return None
    line = _unit(corner, end)
    along = (0.0, -1.0 if line[1] <= 0 else 1.0) if axis == "upright" else (1.0 if line[0] >= 0 else -1.0, 0.0)
    size = round(angle_between(end, corner, (corner[0] + along[0], corner[1] + along[1])), 6)
    return AxisMark(size, (corner[0] + far * along[0], corner[1] + far * along[1]), _toward(along, line, size))


def ground_mark(corner: Point, end: Point, on: Point, degrees_told: float) -> AxisMark | None:
    """A line on the ground and the thin arm to `on` that it is told against, with degrees that the picture does not show. None
    where an arm has no length.
    """
    if not (dist(corner, end) and dist(corner, on)):
        return None
    return AxisMark(degrees_told, on, _toward(_unit(corner, on), _unit(corner, end), angle_between(end, corner, on)))


def _toward(a: Point, b: Point, size: float) -> Point:
    """Square to the middle of both arms, on the side of `a`: there no arm is in the way of the number, however small the angle."""
    middle = (a[0] + b[0], a[1] + b[1])
    far = hypot(*middle)
    aside = (-middle[1] / far, middle[0] / far)
    side = aside[0] * a[0] + aside[1] * a[1]
    if (side or aside[0]) < 0:
        aside = (-aside[0], -aside[1])
    out = 1 / cos(radians(size / 2))
    return (out * aside[0], out * aside[1])


def angle_between(a: Point, corner: Point, b: Point) -> float:
    """The angle at `corner` between the legs to `a` and `b`, 0 to 180 degrees; 0 where a leg has no length.

    >>> round(angle_between((1, 0), (0, 0), (0, 5)))
    90
    """
    (ax, ay), (bx, by) = (a[0] - corner[0], a[1] - corner[1]), (b[0] - corner[0], b[1] - corner[1])
    lengths = (ax * ax + ay * ay) ** 0.5 * (bx * bx + by * by) ** 0.5
    return degrees(acos(max(-1.0, min(1.0, (ax * bx + ay * by) / lengths)))) if lengths else 0.0


def _unit(start: Point, end: Point) -> Point:
    far = dist(start, end)
    return ((end[0] - start[0]) / far, (end[1] - start[1]) / far)
