"""The hitter's motion, cleaned: names put right, outliers dropped, smoothed without lag, the camera's own
motion taken out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

import numpy as np
import scipy

from analysis.read import constants as C
from analysis.read.arrays import Array, median_of_known, step_of
from analysis.read.body import middle, picture_scale, standing_height
from analysis.read.camera import to_steady, usable_camera
from analysis.read.smoothing import smooth
from analysis.read.swaps import LIMBS, find_swaps, undo_swaps
from analysis.tracks import KEYPOINTS, Tracks

# The keypoints that are cleaned and lifted, by their place among the 33.
SEEN: Final = tuple(sorted(KEYPOINTS.values()))
# What part of the body each is of: "knee" for the left and the right one.
_PARTS: Final = {place: name.rpartition("_")[2] for name, place in KEYPOINTS.items()}


@dataclass(frozen=True)
class Motion:
    """A cleaned clip; F frames, NaN where the hitter was not seen.

    times        [F] film time, s
    steady       [F, 33, 2] px of the reference frame: the camera's motion taken out
    world        [F, 33, 3] the learned body: x to the right, y down, z away from the camera; model metres
    error_px     [F, 33] deviation of the smoothed picture position, per coordinate
    world_error  [F, 33] deviation of the smoothed world position, model metres
    height_px    [F] the hitter's standing height in pixels
    height_m     the same in model metres
    visibility   [F, 33] 0..1, as the pose model gave it; NaN where it gave none
    camera       [F, 3, 3] to the reference frame
    raw          [F, 33, 2] as `steady`, before smoothing; trust [F, 33] in each, 1 = full
    slowdown     how many times slower than life the film runs
    """

    times: Array
    steady: Array
    world: Array
    error_px: Array
    world_error: Array
    height_px: Array
    height_m: float
    visibility: Array
    camera: Array
    raw: Array
    trust: Array
    slowdown: float

    @cached_property
    def space(self) -> Array:
        """Positions [F, 33, 3] in standing heights on the camera's axes: x right, y up, z away.

        x and y come from the steadied picture, z from the learned body, counted from mid-hips.
        """
        flat = self.steady / median_of_known(self.height_px)
        return np.concatenate([flat[..., :1], -flat[..., 1:], self.world[..., 2:] / self.height_m], axis=-1)

    @cached_property
    def hands(self) -> Array:
        """The middle of the wrists [F, 2] relative to mid-hips, in the picture, standing heights."""
        wrists, hips = (middle(self.space, f"left_{part}", f"right_{part}") for part in ("wrist", "hip"))
        return (wrists - hips)[:, :2]

    @cached_property
    def hands_speed(self) -> Array:
        """Speed of the hands [F], standing heights per film second; NaN next to gaps."""
        return rate(self.times, self.hands)

    def with_moved(self, moves: Sequence[dict[str, Any]]) -> Motion:
        """The motion once a coach put keypoints in place, {"frame", "keypoint", "x", "y"} in pixels of the frame.

        Only their curves in the picture are drawn anew, through the places where they were put, which are trusted fully; of
        depth such a place says nothing.
        """
        raw, trust = self.raw.copy(), self.trust.copy()
        for move in moves:
            frame, keypoint = move["frame"], move["keypoint"]
            raw[frame, keypoint] = to_steady(np.array([[[move["x"], move["y"]]]], dtype=float), self.camera[[frame]])
            trust[frame, keypoint] = C.PUT_WEIGHT
        keypoints = sorted({move["keypoint"] for move in moves}.intersection(SEEN))
        steady, error_px = self.steady.copy(), self.error_px.copy()
        got = _curves(self.times, raw, trust, median_of_known(self.height_px), self.slowdown, keypoints)
        steady[:, keypoints], error_px[:, keypoints] = got
        return replace(self, steady=steady, error_px=error_px, raw=raw, trust=trust)


def rate(times: Array, rows: Array) -> Array:
    """Speed [F] of a path [F, D] per second; NaN next to gaps."""
    if len(times) < 2:
        return np.full(len(times), np.nan)
    return np.asarray(np.linalg.norm(np.gradient(rows, times, axis=0), axis=1))


def clean_motion(tracks: Tracks, slowdown: float = 1.0) -> Motion:
    """Clean the hitter's keypoints.

    slowdown  how many times slower than life the film runs; the cut-offs slow down with it
    """
    camera = usable_camera(tracks.camera)
    picture, world = tracks.keypoints_px.astype(np.float64), tracks.world_m.astype(np.float64)
    visibility = np.clip(tracks.visibility.astype(np.float64), 0.0, 1.0)
    trust = np.where(np.isfinite(visibility), C.LEAST_TRUST + (1.0 - C.LEAST_TRUST) * visibility, 1.0)
    # What tells left from right: the place in the picture and the depth, in the same unit.
    flat = to_steady(picture, camera) / median_of_known(picture_scale(picture, world))
    features = np.concatenate([flat, world[..., 2:]], axis=-1)
    for limb, pairs in LIMBS.items():
        swapped = find_swaps(features, limb)
        picture, world, visibility = undo_swaps([picture, world, visibility], swapped, pairs)
    height_m = standing_height(world)
    height_px = _calm(picture_scale(picture, world) * height_m)
    times, raw = tracks.time_s.astype(np.float64), to_steady(picture, camera)
    steady, error_px = _every_curve(times, raw, trust, median_of_known(height_px), slowdown)
    world, world_error = _every_curve(times, world, trust, height_m, slowdown)
    return Motion(
        times, steady, world, error_px, world_error, height_px, height_m, visibility, camera, raw, trust, slowdown
    )


def _every_curve(times: Array, raw: Array, trust: Array, height: float, slowdown: float) -> tuple[Array, Array]:
    """Curves [F, 33, D] and their deviation [F, 33], NaN for keypoints that nothing uses."""
    curves, error = np.full(raw.shape, np.nan), np.full(raw.shape[:2], np.nan)
    curves[:, SEEN], error[:, SEEN] = _curves(times, raw, trust, height, slowdown, SEEN)
    return curves, error


def _curves(
    times: Array, raw: Array, trust: Array, height: float, slowdown: float, keypoints: Sequence[int]
) -> tuple[Array, Array]:
    """Curves [F, K, D] of some keypoints through raw positions [F, 33, D], and their deviation [F, K].

    height  the hitter's standing height in the unit of the positions
    """
    parts = [_PARTS[keypoint] for keypoint in keypoints]
    cutoffs = np.array([C.CUTOFF_HZ.get(part, C.CUTOFF_HZ["body"]) for part in parts]) / slowdown
    fastest = np.array([C.FASTEST.get(part, C.FASTEST["body"]) for part in parts])
    # Between two frames a part may leave a smooth path by a share of the way that it can go.
    tolerances = np.maximum(C.FREE_SHARE * fastest * step_of(times) / slowdown, C.LEAST_TOLERANCE) * height
    paths = raw[:, keypoints].swapaxes(0, 1)
    curves, error = smooth(times, paths, cutoffs, trust[:, keypoints].T, tolerances, C.BRIDGED_S * slowdown)
    return curves.swapaxes(0, 1), error.T


def _calm(sizes: Array) -> Array:
    """Sizes [F] that follow a slow change of distance but no single frame: a running median over half a second
    or so.
    """
    seen = np.flatnonzero(np.isfinite(sizes))
    if seen.size == 0:
        return sizes
    filled = np.interp(np.arange(sizes.size), seen, sizes[seen])
    width = 2 * min(C.CALM_FRAMES, sizes.size // 2) + 1
    return np.asarray(scipy.ndimage.median_filter(filled, width, mode="mirror"))
