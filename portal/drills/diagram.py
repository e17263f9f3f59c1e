"""A drill's set-up seen from above, the pitcher at the top: a pure function from set-up to shapes.

Sizes in inches on the ground, x to the right as the catcher sees it, y toward the pitcher, origin in the middle of
the plate's front edge. Plate 17 / 8.5 / 12 in and box 6 x 4 ft, 6 in from the plate: Official Baseball Rules. Feet
and tee are sketched.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Any

from portal.drills.set_up import completed

Point = tuple[float, float]

PLATE: tuple[Point, ...] = ((-8.5, 0), (8.5, 0), (8.5, -8.5), (0, -17), (-8.5, -8.5))
BOX_FROM_PLATE, BOX_WIDTH, BOX_LENGTH = 6.0, 48.0, 72.0
PLATE_CENTRE_Y = -8.5
SHOE = 11.0  # length of a shoe, heel to toe
STANCE_X = -22.0  # where the toes of a right-handed batter stand
REAR_Y, FRONT_Y = -20.0, 0.0  # the feet before the stride
STRIDE = {"stay": (0.0, 0.0), "lift": (0.0, 0.0), "straight": (0.0, 12.0), "short": (0.0, 7.0), "closed": (3.0, 11.0)}
TEE_X = {"inside": -5.5, "middle": 0.0, "outside": 5.5}
TEE_Y = {"ahead": 10.0, "front": 1.0, "deep": -7.0}
FLIES = {"middle": 0.0, "pull": -28.0, "opposite": 28.0, "net": 0.0}  # degrees to the right of straight ahead
FLIGHT = 62.0


@dataclass(frozen=True)
class Foot:
    """A shoe print: heel and toe in inches, and whether it is where the foot starts or where it lands."""

    heel: Point
    toe: Point
    role: str  # "rear", "start" or "lands"


@dataclass(frozen=True)
class Scene:
    """Everything to draw. `box` is (left, bottom, right, top); `flight` runs from the ball to where it flies."""

    plate: tuple[Point, ...]
    box: tuple[float, float, float, float]
    feet: tuple[Foot, ...]
    ball: Point | None
    on_tee: bool
    tosser: Point | None
    flight: tuple[Point, Point] | None
    net: tuple[Point, Point] | None


def scene(set_up: Mapping[str, Any] | None, hits: str = "right") -> Scene:
    """Lay out a set-up for a batter who hits "right" or "left" (anything else is drawn as right).

    Raises SetUpFault for values that are no set-up.
    """
    whole = completed(set_up)
    side = -1.0 if hits == "left" else 1.0
    ball = _ball(whole)
    flight = _flight(ball, whole["flies"])
    drawn = Scene(
        plate=PLATE,
        box=_box(),
        feet=_feet(whole["stride_foot"]),
        ball=ball,
        on_tee=whole["ball"] == "tee",
        tosser=_tosser(whole["ball"]),
        flight=flight,
        net=_net(flight) if flight and whole["flies"] == "net" else None,
    )
    return drawn if side > 0 else _mirrored(drawn)


def _box() -> tuple[float, float, float, float]:
    right = -8.5 - BOX_FROM_PLATE
    return (right - BOX_WIDTH, PLATE_CENTRE_Y - BOX_LENGTH / 2, right, PLATE_CENTRE_Y + BOX_LENGTH / 2)


def _feet(stride: str) -> tuple[Foot, ...]:
    dx, dy = STRIDE[stride]
    rear = Foot((STANCE_X - SHOE, REAR_Y), (STANCE_X, REAR_Y), "rear")
    start = Foot((STANCE_X - SHOE, FRONT_Y), (STANCE_X, FRONT_Y), "start")
    if (dx, dy) == (0.0, 0.0):
        return (rear, Foot(start.heel, start.toe, "lands"))
    turn = radians(15)  # a landing foot opens a little; at most 45 degrees are wanted
    toe = (STANCE_X + dx, FRONT_Y + dy)
    heel = (toe[0] - SHOE * cos(turn), toe[1] - SHOE * sin(turn))
    return (rear, start, Foot(heel, toe, "lands"))


def _ball(whole: Mapping[str, Any]) -> Point | None:
    if whole["ball"] == "none":
        return None
    if whole["ball"] == "tee":
        return (TEE_X[whole["tee_across"]], TEE_Y[whole["tee_depth"]])
    return (0.0, TEE_Y["ahead"])


def _tosser(ball: str) -> Point | None:
    """Soft toss comes from the far side and ahead, well off the ball's way; front toss from behind a screen ahead."""
    return {"soft_toss": (52.0, 14.0), "front_toss": (14.0, 74.0)}.get(ball)


def _flight(ball: Point | None, flies: str) -> tuple[Point, Point] | None:
    if ball is None or not flies:
        return None
    angle = radians(FLIES[flies])
    length = 44.0 if flies == "net" else FLIGHT
    return ball, (ball[0] + length * sin(angle), ball[1] + length * cos(angle))


def _net(flight: tuple[Point, Point]) -> tuple[Point, Point]:
    (x, y) = flight[1]
    return (x - 24, y + 2), (x + 24, y + 2)


def _mirrored(drawn: Scene) -> Scene:
    """The same scene for the other side of the plate."""

    def flip(point: Point) -> Point:
        return (-point[0] or 0.0, point[1])

    left, bottom, right, top = drawn.box
    return Scene(
        plate=tuple(flip(p) for p in drawn.plate),
        box=(-right, bottom, -left, top),
        feet=tuple(Foot(flip(f.heel), flip(f.toe), f.role) for f in drawn.feet),
        ball=flip(drawn.ball) if drawn.ball else None,
        on_tee=drawn.on_tee,
        tosser=flip(drawn.tosser) if drawn.tosser else None,
        flight=(flip(drawn.flight[0]), flip(drawn.flight[1])) if drawn.flight else None,
        net=(flip(drawn.net[0]), flip(drawn.net[1])) if drawn.net else None,
    )
