"""The camera: positions in the pixels of the reference frame, and where a pixel's ray goes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.read import constants as C
from analysis.read.arrays import Array


def ray_yaw(x_px: float, size: tuple[float, float]) -> float:
    """How far a pixel's ray is turned to the right of the camera's own direction, degrees; size is width and height, px.

    >>> round(ray_yaw(960.0, (1920.0, 1080.0)), 1)
    0.0
    """
    return float(np.degrees(np.arctan2(x_px - size[0] / 2.0, C.FOCAL_SHARE * max(size))))


def usable_camera(camera: NDArray[np.floating]) -> Array:
    """Homographies [F, 3, 3] in which a missing one is replaced by the last one known, or by standing still."""
    whole = np.concatenate([np.eye(3)[None], camera])
    good = np.isfinite(whole).all(axis=(1, 2))
    whole[~good] = np.eye(3)
    good &= np.abs(np.linalg.det(whole)) > 1e-9
    last = np.maximum.accumulate(np.where(good, np.arange(len(whole)), 0))
    return np.asarray(whole[last[1:]])


def to_steady(points: Array, camera: Array) -> Array:
    """Points [F, N, 2] of each frame in reference-frame pixels; NaN stays NaN."""
    mapped = points @ camera[:, :, :2].swapaxes(1, 2) + camera[:, None, :, 2]
    return np.asarray(mapped[..., :2] / mapped[..., 2:])
