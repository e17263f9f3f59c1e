"""How an angle mark is told: never by more than 90°, so that a knee shows its bend, as every number that reaches a family.

Up to a right angle it is the opening between its two arms. Beyond, it is what is missing to a straight line: the first arm is
drawn on past the corner, and the number stands between that and the second arm (static/js/desk/angles.js is its twin).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, degrees, dist, hypot, radians, sin

Point = tuple[float, float]

GOES_ON = 0.6  # how far the first arm is drawn on, in lengths of the second
NARROW = 0.5  # sine of half an angle, below which its number stands farther out, so that it is not on its arms


@dataclass(frozen=True)
class AngleMark:
    """`size` in degrees, 0 to 90. `on` is where the first arm is drawn on to, None where it is not. `toward` is the direction,
    of length 1 to 2.2, in which the number stands from the corner.
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
    between = (a[0] + b[0], a[1] + b[1])
    far = hypot(*between)
    out = min(2.2, max(1.0, NARROW / (sin(radians(size / 2)) or NARROW / 2)))
    return AngleMark(round(size, 6), on, (out * between[0] / far, out * between[1] / far))


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
