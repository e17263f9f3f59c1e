"""The few rows of numbers in which a swing shows: where the body is, and how the hands go."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.read.arrays import Array
from analysis.read.body import middle
from analysis.read.motion import Motion


@dataclass(frozen=True)
class Signals:
    """Rows over the frames of a clip; lengths in standing heights, times in film seconds.

    times        [F]
    space        [F, 33, 3] positions on the camera's axes: x right, y up, z away (from mid-hips)
    hands        [F, 2] the middle of the wrists relative to mid-hips, in the picture
    hands_speed  [F] their speed, per second
    """

    times: Array
    space: Array
    hands: Array
    hands_speed: Array


def rate(times: Array, rows: Array) -> Array:
    """Speed [F] of a path [F, D] per second; NaN next to gaps."""
    if len(times) < 2:
        return np.full(len(times), np.nan)
    return np.asarray(np.linalg.norm(np.gradient(rows, times, axis=0), axis=1))


def signals_of(motion: Motion) -> Signals:
    """The signals of a cleaned clip."""
    space = motion.spatial()
    hands = (middle(space, "left_wrist", "right_wrist") - middle(space, "left_hip", "right_hip"))[:, :2]
    return Signals(motion.times, space, hands, rate(motion.times, hands))
