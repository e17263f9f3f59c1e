"""Bend of the knees, seen from a side.

From a side a knee bends toward or away from the camera, where the pose model is blind: it flattens the legs into the
picture and a bent knee looks straight. What the picture does show is how high the hips are carried and how far each foot
stands from its hip; a leg of known length between the two must be bent. The length is the longest that this clip shows,
for in every swing a leg is nearly straight at some time.

    hang    hip to ankle, as high as the hips are over the ankles on average of both legs (so that perspective and a
            tilted pelvis cancel) and as far along the picture as this foot is from its hip, against the leg's length
    height  how high the hips are, in leg lengths
    apart   how far the foot is from its hip along the picture, in leg lengths
    flat    bend in the picture, degrees
    solid   bend with the depth that the pose model gives, degrees
    thigh   the thigh's length in the picture against the longest that this clip shows

At each instant the bend is a weighted sum of those that helped there. Weights were fitted by ridge regression to 22 rendered
films with exact truth, most of them drawn at random, and their errors are those of films left out of the fit, one at a time
(tests/analysis/read/fit_knees.py).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.body import longest_seen
from analysis.read.geometry import Draws, bend
from analysis.read.legs import THIGH_LENGTH
from analysis.read.sides import SIDES
from analysis.tracks import KEYPOINTS as K

__all__ = ["LEG_LENGTH", "QUANTITIES", "LegLengths", "leg_lengths", "side_bend"]

Array = NDArray[np.float64]

# In standing heights as this package takes them, from the same films: hip to ankle of a straight leg.
LEG_LENGTH: Final = 0.457
LEAST_LENGTH: Final = 0.93  # of the usual one: a shorter leg was not straight in any frame of the clip
SHARED: Final = 0.5  # of the error's variance is the same for both knees: that of the hips' height


@dataclass(frozen=True)
class LegLengths:
    """Hip to ankle of a straight leg, and hip to knee, in the picture, standing heights."""

    leg: float
    thigh: float


@dataclass(frozen=True)
class _Way:
    """base + sum of weight * quantity, degrees; `from_back` is added for a camera behind the hitter's back; sd, degrees."""

    base: float
    weights: Mapping[str, float]
    sd: float
    from_back: float = 0.0


_WAYS: Final[dict[str, _Way]] = {
    "set_up": _Way(183.9, {"flat": 0.695, "height": -169.2}, sd=5.5),
    "foot_down": _Way(9.5, {"hang": 0.628, "apart": 28.3}, sd=4.3),
    "contact": _Way(51.8, {"solid": 0.321, "thigh": -46.1}, sd=7.1, from_back=4.2),
}


def leg_lengths(space: Array) -> LegLengths:
    """Lengths shown by a whole clip; space [F, 33, 3] in standing heights, the first two axes in the picture."""
    legs, thighs = (
        np.concatenate(
            [np.linalg.norm((space[:, K[f"{s}_hip"]] - space[:, K[f"{s}_{end}"]])[:, :2], axis=1) for s in SIDES]
        )
        for end in ("ankle", "knee")
    )
    return LegLengths(longest_seen(legs, LEG_LENGTH, LEAST_LENGTH), longest_seen(thighs, THIGH_LENGTH[0], LEAST_LENGTH))


def side_bend(
    points: Array, side: str, instant: str, lengths: LegLengths, from_back: bool, errors: tuple[Draws, Draws]
) -> Draws | None:
    """Bend [S] of one knee, degrees, not below 0; None at instants for which no weights are known.

    points  [S, 33, 3] in standing heights on the camera's axes: x right, y up, z away
    errors  standard normal draws [S]: common to both knees, and this knee's own
    """
    way = _WAYS.get(instant)
    if way is None:
        return None
    total = way.base + way.from_back * from_back + np.zeros(len(points))
    for name, weight in way.weights.items():
        total = total + weight * QUANTITIES[name](points, side, lengths)
    error = np.sqrt(SHARED) * errors[0] + np.sqrt(1.0 - SHARED) * errors[1]
    return np.asarray(np.clip(total + way.sd * error, 0.0, 150.0))


def _leg(points: Array, side: str) -> tuple[Array, Array, Array]:
    hip, knee, ankle = (points[:, K[f"{side}_{joint}"]] for joint in ("hip", "knee", "ankle"))
    return hip, knee, ankle


def _rise(points: Array) -> Array:
    """How high the hips are over the ankles, on average of both legs [S]."""
    return np.asarray(np.mean([points[:, K[f"{s}_hip"], 1] - points[:, K[f"{s}_ankle"], 1] for s in SIDES], axis=0))


def _apart(points: Array, side: str, lengths: LegLengths) -> Draws:
    hip, _, ankle = _leg(points, side)
    return np.asarray(np.abs(hip[:, 0] - ankle[:, 0]) / lengths.leg)


def _hang(points: Array, side: str, lengths: LegLengths) -> Draws:
    reach = np.hypot(_rise(points) / lengths.leg, _apart(points, side, lengths))
    return np.asarray(np.degrees(2.0 * np.arccos(np.minimum(reach, 1.0))))


def _flat(points: Array, side: str, lengths: LegLengths) -> Draws:
    return bend(*(point * [1.0, 1.0, 0.0] for point in _leg(points, side)))


def _solid(points: Array, side: str, lengths: LegLengths) -> Draws:
    return bend(*_leg(points, side))


def _thigh(points: Array, side: str, lengths: LegLengths) -> Draws:
    hip, knee, _ = _leg(points, side)
    return np.asarray(np.linalg.norm((knee - hip)[:, :2], axis=1) / lengths.thigh)


QUANTITIES: Final[dict[str, Callable[[Array, str, LegLengths], Draws]]] = {
    "hang": _hang,
    "height": lambda points, side, lengths: _rise(points) / lengths.leg,
    "apart": _apart,
    "flat": _flat,
    "solid": _solid,
    "thigh": _thigh,
}
