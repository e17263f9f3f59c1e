"""The size of the hitter: standing height in the model's own metres and in pixels, frame by frame.

The pose model gives a learned body whose size is not this hitter's. Its proportions are: from them follows the
standing height in the model's metres, and from the scale between its points and the picture the height in
pixels.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.proportions import NECK_TO_EYES, SHANK, THIGH, TRUNK
from analysis.read.arrays import Array, median_of_known
from analysis.tracks import KEYPOINTS as K

# Large, reliable points: the scale of the picture is taken from these.
_BODY_POINTS: Final = tuple(
    K[f"{side}_{joint}"] for side in ("left", "right") for joint in ("shoulder", "elbow", "hip", "knee", "ankle", "ear")
)


def middle(points: Array, *names: str) -> Array:
    """Mean position [F, D] of some keypoints; points [F, 33, D]."""
    return np.asarray(np.mean([points[:, K[name]] for name in names], axis=0))


def _segment(points: Array, first: str, second: str) -> Array:
    """Length [F] of a body segment, the mean of left and right; points [F, 33, D]."""
    sides = [points[:, K[f"{s}_{first}"]] - points[:, K[f"{s}_{second}"]] for s in ("left", "right")]
    return np.asarray(np.mean([np.linalg.norm(side, axis=1) for side in sides], axis=0))


def standing_height(world: Array) -> float:
    """Standing height of the learned body, in its own metres; NaN when it was never seen.

    world  [F, 33, 3]
    """
    shoulders, hips, eyes = (middle(world, f"left_{part}", f"right_{part}") for part in ("shoulder", "hip", "eye"))
    whole = (
        _segment(world, "knee", "ankle")
        + _segment(world, "hip", "knee")
        + np.linalg.norm(shoulders - hips, axis=1)
        + np.linalg.norm(eyes - shoulders, axis=1)
    )
    return median_of_known(whole) / (SHANK + THIGH + TRUNK + NECK_TO_EYES)


def picture_scale(picture: Array, world: Array) -> Array:
    """Pixels per metre of the learned body [F]; NaN where either was not seen.

    The two clouds of body points are compared by their spread about their middle, so one bad point weighs little.
    """
    clouds = (picture[:, _BODY_POINTS], world[:, _BODY_POINTS, :2])
    flat, solid = (np.linalg.norm(cloud - cloud.mean(axis=1, keepdims=True), axis=(1, 2)) for cloud in clouds)
    return np.asarray(flat / np.maximum(solid, 1e-9))
