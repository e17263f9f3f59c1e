"""From which side the camera looks at the hitter, and where the line to the pitcher runs: proposals with a confidence.

Directions seen from above are angles in degrees on ray axes (see `analysis.read.lift`): 0 = to the right of the picture, 90 =
away from the camera. `ahead` is the direction of the line toward the pitcher.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from analysis.read import constants as C
from analysis.read.bodies import Bodies, joint
from analysis.read.geometry import turn_between
from analysis.read.sides import side_of
from analysis.read.swings import Candidate

# Directions of "ahead" for a right-handed hitter; a left-handed one is seen mirrored.
_RIGHT_HANDED: Final = {"chest_side": 0.0, "back_side": 180.0, "catcher_side": 90.0, "pitcher_side": -90.0}


@dataclass(frozen=True)
class Facing:
    """hand and view with confidences 0..1, and the direction of the line with its deviation, degrees; by_plate says that home plate
    showed it.
    """

    hand: str
    hand_confidence: float
    view: str
    view_confidence: float
    ahead: float
    ahead_sd: float
    by_plate: bool = False


def direction_for(view: str, hand: str) -> float:
    """Direction of the line, degrees, for a camera exactly at one of the four sides."""
    angle = _RIGHT_HANDED[view]
    return angle if hand == "right" or view in ("catcher_side", "pitcher_side") else 180.0 - angle


def estimate_facing(
    bodies: Bodies, swings: Sequence[Candidate], hand: str, hand_confidence: float, view: str | None = None
) -> Facing:
    """The facing for a known hand and, where a coach gave one, a known view."""
    measured = measured_line(bodies, swings, hand)
    if view == "unknown":
        return Facing(hand, hand_confidence, view, 1.0, measured, C.UNKNOWN_SD)
    if view is None and not np.isfinite(measured):
        return Facing(hand, hand_confidence, "unknown", 0.0, float("nan"), 90.0)  # nothing is known of the line
    named = view or min(_RIGHT_HANDED, key=lambda name: abs(turn_between(direction_for(name, hand), measured)))
    home = direction_for(named, hand)
    off = abs(turn_between(home, measured))
    if view and not off <= C.LARGEST_CONTRADICTION:  # the coach's view is all that is known
        return Facing(hand, hand_confidence, view, 1.0, home, C.STANDING_SD)
    # A view that nobody named is half sure on the diagonal between two.
    sure = 1.0 if view else float(1.0 / (1.0 + np.exp((off - C.SIDE_EDGE) / C.SIDE_WIDTH)))
    return Facing(hand, hand_confidence, named, sure, measured, C.LINE_SD)


def corrected_by_plate(facing: Facing, ahead: float, sd: float) -> Facing:
    """The facing with the line where home plate shows it, as far as the plate knows better.

    Where the plate contradicts the view, the facing as it was.
    """
    off = turn_between(facing.ahead, ahead)
    if not abs(off) <= C.LARGEST_CONTRADICTION:
        return facing
    share = facing.ahead_sd**2 / (facing.ahead_sd**2 + sd**2)
    return replace(facing, ahead=facing.ahead + share * off, ahead_sd=float(np.sqrt(share) * sd), by_plate=True)


def measured_line(bodies: Bodies, swings: Sequence[Candidate], hand: str) -> float:
    """Direction from the rear ankle to the front ankle, from the stance to the hands' peak of every swing; NaN where not seen."""
    times, until = bodies.times[bodies.lifted, None], bodies.times[[swing.peak for swing in swings]]
    frames = bodies.lifted[((times >= until - C.STANCE_S * bodies.slowdown) & (times <= until)).any(axis=1)]
    front, rear = joint(f"{side_of('front', hand)}_ankle"), joint(f"{side_of('rear', hand)}_ankle")
    ankles = bodies.places[frames, front] - bodies.places[frames, rear]
    known = np.isfinite(ankles).all(axis=1)
    if not known.any():
        return float("nan")
    level = ankles[known][:, [0, 2]]
    level = level / np.maximum(np.linalg.norm(level, axis=1, keepdims=True), 1e-9)
    x, z = np.median(level, axis=0)
    return float(np.degrees(np.arctan2(z, x)))
