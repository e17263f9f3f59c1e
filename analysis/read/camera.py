"""The camera: positions in the pixels of the reference frame."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.read.arrays import Array


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
