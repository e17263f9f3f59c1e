"""A moving camera: positions in the pixels of the reference frame and back."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["from_steady", "to_steady", "usable_camera"]

Array = NDArray[np.float64]


def usable_camera(camera: NDArray[np.floating]) -> Array:
    """Homographies [F, 3, 3] in which a missing one is replaced by the last one known, or by standing still."""
    whole = np.asarray(camera, dtype=np.float64).copy()
    good = np.asarray(np.isfinite(whole).all(axis=(1, 2)))
    whole[~good] = np.eye(3)
    good = good & (np.abs(np.linalg.det(whole)) > 1e-9)
    last = np.eye(3)
    for frame in range(len(whole)):
        if good[frame]:
            last = whole[frame]
        else:
            whole[frame] = last
    return whole


def to_steady(points: Array, camera: Array) -> Array:
    """Points [F, N, 2] of each frame in reference-frame pixels; NaN stays NaN."""
    return _apply(points, camera)


def from_steady(points: Array, camera: Array) -> Array:
    """The inverse of `to_steady`."""
    return _apply(points, np.asarray(np.linalg.inv(camera), dtype=np.float64))


def _apply(points: Array, camera: Array) -> Array:
    lifted = np.concatenate([points, np.ones((*points.shape[:-1], 1))], axis=-1)
    mapped = np.einsum("fij,fnj->fni", camera, lifted)
    return np.asarray(mapped[..., :2] / mapped[..., 2:])
