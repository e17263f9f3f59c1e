"""The few rows of numbers in which a swing shows: how the hands go and how the feet move."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from analysis.read.arrays import Array
from analysis.read.body import middle
from analysis.read.motion import Motion

FOOT: Final = ("ankle", "heel", "toe")


@dataclass(frozen=True)
class Signals:
    """Rows over the frames of a clip; lengths in standing heights, times in film seconds.

    times        [F]
    space        [F, 33, 3] positions on the camera's axes: x right, y up, z away (from mid-hips)
    hands        [F, 3] the middle of the wrists relative to mid-hips
    hands_speed  [F] their speed in the picture, per second
    feet         by side: [F, 2] the foot's middle in the steadied picture: x right, y up
    """

    times: Array
    space: Array
    hands: Array
    hands_speed: Array
    feet: dict[str, Array]


def rate(times: Array, rows: Array) -> Array:
    """Speed [F] of a path [F, D] per second; NaN next to gaps."""
    if len(times) < 2:
        return np.full(len(times), np.nan)
    return np.asarray(np.linalg.norm(np.gradient(rows, times, axis=0), axis=1))


def signals_of(motion: Motion) -> Signals:
    """The signals of a cleaned clip."""
    space = motion.spatial()
    hands = middle(space, "left_wrist", "right_wrist") - middle(space, "left_hip", "right_hip")
    return Signals(
        times=motion.times,
        space=space,
        hands=hands,
        hands_speed=rate(motion.times, hands[:, :2]),
        feet={side: middle(space, *(f"{side}_{part}" for part in FOOT))[:, :2] for side in ("left", "right")},
    )
