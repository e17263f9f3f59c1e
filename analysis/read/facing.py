"""Which hand the hitter bats with, and from which side the camera looks: proposals with a confidence.

Directions seen from above are angles in degrees on the camera's axes: 0 = to the right of the picture, 90 =
away from the camera. `ahead` is the direction of the line toward the pitcher.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.geometry import turn_between
from analysis.read.sides import side_of
from analysis.read.signals import Signals, middle
from analysis.read.swings import Candidate
from analysis.tracks import KEYPOINTS as K

__all__ = ["Facing", "along_plate", "axes_for", "direction_for", "propose", "settle"]

Array = NDArray[np.float64]

# Deviation of a measured direction of the line: feet give it in the picture to a few degrees, in depth hardly
# better than this. Parents stand near one of the four sides; how near is the second number.
MEASURED_SD: Final = 14.0
STANDING_SD: Final = 12.0
LARGEST_CONTRADICTION: Final = 60.0
UNKNOWN_SD: Final = 30.0  # where a coach says that the view is none of the four

# Directions of "ahead" for a right-handed hitter; a left-handed one is seen mirrored.
_RIGHT_HANDED: Final = {"chest_side": 0.0, "back_side": 180.0, "catcher_side": 90.0, "pitcher_side": -90.0}


@dataclass(frozen=True)
class Facing:
    """hand and view with confidences 0..1, and the direction of the line with its deviation, degrees.

    measured is the direction before it was drawn toward the nearest of the four sides.
    """

    hand: str
    hand_confidence: float
    view: str
    view_confidence: float
    ahead: float
    ahead_sd: float
    measured: float


def direction_for(view: str, hand: str) -> float:
    """Direction of the line, degrees, for a camera exactly at one of the four sides."""
    angle = _RIGHT_HANDED[view]
    return angle if hand == "right" or view in ("catcher_side", "pitcher_side") else 180.0 - angle


def axes_for(ahead: float, hand: str) -> Array:
    """Matrix [3, 3] taking camera axes (x right, y up, z away) to reading axes (ahead, up, toward the plate)."""
    x, z = np.cos(np.radians(ahead)), np.sin(np.radians(ahead))
    mirror = 1.0 if hand == "right" else -1.0
    return np.array([[x, 0.0, z], [0.0, 1.0, 0.0], [mirror * z, 0.0, -mirror * x]])


def propose(signals: Signals, swings: Sequence[Candidate]) -> Facing | None:
    """The proposal from all swings together; None when there is no swing to tell by."""
    if not swings:
        return None
    odds = sum(_right_handed_odds(signals, swing) for swing in swings)
    hand = "right" if odds >= 0.0 else "left"
    return settle(signals, swings, hand, _confidence(odds))


def settle(
    signals: Signals, swings: Sequence[Candidate], hand: str, hand_confidence: float, view: str | None = None
) -> Facing:
    """The facing for a known hand and, where a coach gave one, a known view."""
    measured = _mean_direction([_line_direction(signals, swing, hand) for swing in swings])
    if view == "unknown":
        return Facing(hand, hand_confidence, view, 1.0, measured, UNKNOWN_SD, measured)
    if view in _RIGHT_HANDED:
        home, sure = direction_for(view, hand), 1.0
    elif np.isfinite(measured):
        view = min(_RIGHT_HANDED, key=lambda name: abs(turn_between(direction_for(name, hand), measured)))
        home = direction_for(view, hand)
        sure = _side_confidence(turn_between(home, measured))
    else:
        return Facing(hand, hand_confidence, "unknown", 0.0, float("nan"), 90.0, float("nan"))
    off = turn_between(home, measured) if np.isfinite(measured) else 0.0
    if abs(off) > LARGEST_CONTRADICTION:  # the coach's view contradicts what was measured: only the view is known
        off = 0.0
    share = STANDING_SD**2 / (STANDING_SD**2 + MEASURED_SD**2)
    spread = MEASURED_SD * np.sqrt(share)
    return Facing(hand, hand_confidence, str(view), sure, home + share * off, float(spread), measured)


def along_plate(facing: Facing, ahead: float, sd: float) -> Facing:
    """The facing with the line where home plate shows it, as far as the plate knows better.

    Where the plate contradicts the view, the facing as it was.
    """
    off = turn_between(facing.ahead, ahead)
    if not abs(off) <= LARGEST_CONTRADICTION:
        return facing
    share = facing.ahead_sd**2 / (facing.ahead_sd**2 + sd**2)
    return replace(facing, ahead=facing.ahead + share * off, ahead_sd=float(np.sqrt(share) * sd))


def _right_handed_odds(signals: Signals, swing: Candidate) -> float:
    """Log odds that this is a right-handed swing, from four independent looks at it."""
    before = slice(max(swing.start - max(swing.peak - swing.start, 2) * 2, 0), swing.start + 1)
    space = signals.space[before]
    across = space[:, K["left_shoulder"]] - space[:, K["right_shoulder"]]
    across = across / np.maximum(np.linalg.norm(across, axis=1, keepdims=True), 1e-9)
    face = space[:, K["nose"]] - middle(space, "left_ear", "right_ear")
    hands = middle(space, "left_wrist", "right_wrist") - middle(space, "left_shoulder", "right_shoulder")
    looks_left = _median(np.sum(face * across, axis=1))
    hands_left = _median(np.sum(hands * across, axis=1))
    return float(
        2.5 * np.tanh(swing.turn / 50.0)
        + 1.0 * np.tanh(looks_left / 0.03)
        - 1.5 * np.tanh(hands_left / 0.05)
        + 0.7 * np.tanh(_stride_lead(signals, swing))
    )


def _stride_lead(signals: Signals, swing: Candidate) -> float:
    """How much more the left foot moved than the right before the hands' peak, as a log ratio."""
    span = slice(max(swing.peak - 4 * max(swing.peak - swing.start, 3), 0), swing.peak + 1)
    ways = {}
    for side, path in signals.feet.items():
        seen = path[span][np.isfinite(path[span]).all(axis=1)]
        ways[side] = float(np.ptp(seen, axis=0).sum()) if len(seen) else 0.0
    return float(np.log((ways["left"] + 0.02) / (ways["right"] + 0.02)))


def _line_direction(signals: Signals, swing: Candidate, hand: str) -> float:
    """Direction from the rear foot to the front foot while the swing runs up to the hands' peak, degrees."""
    front, rear = side_of("front", hand), side_of("rear", hand)
    span = slice(max(swing.start - 2, 0), swing.peak + 1)
    feet = signals.space[span, K[f"{front}_ankle"]] - signals.space[span, K[f"{rear}_ankle"]]
    feet = feet[np.isfinite(feet).all(axis=1)]
    if not len(feet):
        return float("nan")
    x, _, z = np.median(feet, axis=0)
    return float(np.degrees(np.arctan2(z, x)))


def _mean_direction(angles: Sequence[float]) -> float:
    known = np.radians([angle for angle in angles if np.isfinite(angle)])
    if not known.size:
        return float("nan")
    return float(np.degrees(np.arctan2(np.sin(known).mean(), np.cos(known).mean())))


def _side_confidence(off: float) -> float:
    """1 right at a side, a half on the diagonal between two."""
    return float(1.0 / (1.0 + np.exp((abs(off) - 45.0) / 8.0)))


def _confidence(odds: float) -> float:
    return float(1.0 / (1.0 + np.exp(-abs(odds))))


def _median(row: Array) -> float:
    seen = row[np.isfinite(row)]
    return float(np.median(seen)) if seen.size else 0.0
