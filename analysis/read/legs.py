"""How deep the legs stand, seen from a side.

From a side the pose model flattens the legs into the picture's plane: thighs that come toward the plate look
straight down, and a bent knee looks straight. Three things are known of a thigh's depth: what the model saw,
what the thigh's length leaves for depth when its place in the picture is taken off, and how hitters stand. They
are weighed together; a shank has no length to go by, for its ends are seen too close together, and is drawn
toward how hitters stand alone.

Weights, usual depths and their spread were found on rendered films with exact truth. The feet's place on the ground follows
from these depths; the bend of a knee only where a coach has put the leg in place by hand, for `analysis.read.knees` knows it
better elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.sides import side_of
from analysis.tracks import KEYPOINTS as K

__all__ = ["DEPTH_SD", "THIGH_LENGTH", "set_leg_depth"]

Array = NDArray[np.float64]

THIGH_LENGTH: Final = (0.236, 0.04)  # standing heights, and how much it differs between people
DEPTH_SD: Final = 0.025  # standing heights: what is left to err in either depth
AHEAD, UP, PLATE = 0, 1, 2


@dataclass(frozen=True)
class _Usual:
    """Depths toward the plate, hip to knee and knee to ankle, in standing heights, and the weights of what is known."""

    thigh: float
    front_shank: float
    rear_shank: float
    by_length: float
    by_habit: float
    shank_seen: float


_STANCE: Final = _Usual(0.085, -0.04, -0.04, by_length=0.35, by_habit=0.35, shank_seen=0.3)
_STRIDE: Final = _Usual(0.11, -0.04, -0.065, by_length=0.4, by_habit=0.35, shank_seen=0.3)
_CONTACT: Final = _Usual(0.07, 0.02, 0.02, by_length=0.1, by_habit=0.5, shank_seen=0.35)
_LEGS: Final[dict[str, tuple[tuple[str, ...], _Usual]]] = {
    "set_up": (("front", "rear"), _STANCE),
    "load": (("front", "rear"), _STANCE),
    "foot_down": (("front", "rear"), _STRIDE),
    "contact": (("front",), _CONTACT),
}


def set_leg_depth(points: Array, instant: str, hand: str, thigh_length: Array, errors: Array) -> Array:
    """Points [S, 33, 3] on reading axes with the legs' depth set; a copy, and the same where nothing is known better.

    thigh_length  [S] standing heights
    errors        [S, 2, 2] standard normal draws: front and rear leg, thigh and shank
    """
    if instant not in _LEGS:
        return points
    ends, usual = _LEGS[instant]
    moved = points.copy()
    for row, end in enumerate(ends):
        side = side_of(end, hand)
        hip, knee, ankle = (points[:, K[f"{side}_{name}"]] for name in ("hip", "knee", "ankle"))
        thigh = _thigh_depth(knee - hip, usual, thigh_length) + DEPTH_SD * errors[:, row, 0]
        habit = usual.front_shank if end == "front" else usual.rear_shank
        shank = usual.shank_seen * (ankle - knee)[:, PLATE] + (1.0 - usual.shank_seen) * habit
        at_knee = hip[:, PLATE] + thigh
        at_ankle = at_knee + shank + DEPTH_SD * errors[:, row, 1]
        moved[:, K[f"{side}_knee"], PLATE] = at_knee
        for name in ("ankle", "heel", "toe"):
            moved[:, K[f"{side}_{name}"], PLATE] += at_ankle - ankle[:, PLATE]
    return moved


def _thigh_depth(thigh: Array, usual: _Usual, length: Array) -> Array:
    """Depth [S] of the knee toward the plate, from what was seen, from the thigh's length and from habit."""
    in_picture = np.hypot(thigh[:, AHEAD], thigh[:, UP])
    left_over = np.sqrt(np.maximum(length**2 - in_picture**2, 0.0))
    seen = 1.0 - usual.by_length - usual.by_habit
    return np.asarray(usual.by_length * left_over + usual.by_habit * usual.thigh + seen * thigh[:, PLATE])
