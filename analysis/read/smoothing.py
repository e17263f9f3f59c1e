"""Zero-lag smoothing of noisy rows of positions over their true times, with the noise estimated from the data.

Each row is replaced by the curve that balances closeness to the data against its own jerk (the third
derivative). For even times its frequency response is 1 / (1 + (f / cut-off)^6), exactly that of a third-order
Butterworth filter run forward and backward, so nothing moves in time; unlike a filter it takes uneven times,
gaps and weights as they are. Idea: Whittaker, Proc. Edinburgh Math. Soc. 41 (1923) 63 (from memory); checked in
the tests against scipy.signal.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import scipy

from analysis.read import constants as C
from analysis.read.arrays import Array, Flags, step_of


@lru_cache(maxsize=64)
def noise_gains(cutoff: float) -> tuple[float, float]:
    """Shares of white noise variance (passed by the smoother, left in the residual) for a cut-off in radians per step.

    >>> passed, left = noise_gains(np.pi / 4)
    >>> round(passed, 2), round(left, 2)
    (0.22, 0.72)
    """
    omega = np.linspace(0.0, np.pi, C.RESPONSE_POINTS)
    response = 1.0 / (1.0 + (omega / cutoff) ** 6)
    return float(np.mean(response**2)), float(np.mean((1.0 - response) ** 2))


@lru_cache(maxsize=32)
def _penalty(shared: bytes) -> Array:
    """Lower bands [4, F] of the matrix P for which z' P z is the integral of the squared third derivative of z.

    shared  the times [F], as bytes to be remembered by: all keypoints of a clip share them
    """
    times = np.frombuffer(shared)
    count = times.size
    rows = np.zeros((4, max(count - 3, 0)))
    # Third divided differences, times 3!, are third derivatives.
    for place in range(4):
        others = [times[k : count - 3 + k] for k in range(4) if k != place]
        own = times[place : count - 3 + place]
        rows[place] = 6 / np.prod([own - other for other in others], axis=0)
    weight = (times[3:] - times[:-3]) / 3
    bands = np.zeros((4, count))
    for offset in range(4):
        for place in range(4 - offset):
            bands[offset, place : count - 3 + place] += weight * rows[place] * rows[place + offset]
    return bands


def smooth(
    times: Array,
    paths: Array,
    cutoffs_hz: Array,
    weights: Array,
    tolerances: Array,
    bridge_s: float,
) -> tuple[Array, Array]:
    """Smooth the paths of K points, each by itself.

    Gives the curves [K, F, D], NaN outside the data and inside long gaps, and the deviation [K, F] of each coordinate of theirs that
    comes from the noise of the raw points about them.

    times       [F] s, increasing
    paths       [K, F, D] positions; a frame with any NaN is missing
    cutoffs_hz  [K] half of a motion at this frequency passes, slower motion passes whole
    weights     [K, F] trust in each position, 1 = full
    tolerances  [K] a residual up to this size (in the unit of the path) is never taken for an outlier
    bridge_s    longest gap that is bridged by the curve; longer ones stay NaN
    """
    seen = np.all(np.isfinite(paths), axis=2)
    trust = np.where(seen, weights, 0.0)
    smoothed, error = np.full(paths.shape, np.nan), np.full(seen.shape, np.nan)
    # Points that are seen in the same frames are smoothed together: it saves most of the time.
    patterns = [(row.tobytes(), used.tobytes()) for row, used in zip(seen, trust > 0.0, strict=True)]
    for pattern in dict.fromkeys(patterns):
        members = np.array([n for n, other in enumerate(patterns) if other == pattern])
        places = np.flatnonzero(seen[members[0]])
        if places.size < C.LEAST_POINTS:
            continue
        inside = slice(places[0], places[-1] + 1)
        step = step_of(times[inside])
        cutoffs = 2.0 * np.pi * cutoffs_hz[members] * step
        penalty = _penalty(np.ascontiguousarray(times[inside] / step).tobytes())
        bands = np.concatenate([penalty / cutoff**6 for cutoff in cutoffs], axis=1)
        filled = np.where(seen[members, :, None], paths[members], 0.0)[:, inside]
        passed, left = np.array([noise_gains(cutoff) for cutoff in cutoffs]).T
        curves, noise = _robust_curves(bands, filled, trust[members, inside], left, tolerances[members])
        smoothed[members, inside] = curves
        smoothed[np.ix_(members, _long_gaps(times, seen[members[0]], bridge_s))] = np.nan
        error[members, inside] = (noise * np.sqrt(passed))[:, None]
    return smoothed, error


def _robust_curves(bands: Array, paths: Array, trust: Array, left: Array, tolerances: Array) -> tuple[Array, Array]:
    """Curves [K, F, D], and the noise [K] of one coordinate.

    paths  [K, F, D]; trust [K, F], 0 in the same frames for all; left and tolerances [K]
    """
    used = trust[0] > 0.0
    # A still picture has no noise at all; what rounding leaves of a residual must not make every point an outlier.
    rounding = 1e-6 * np.max(np.abs(paths), axis=(1, 2), initial=1e-6)
    # A first curve through far outliers would bend so much that their neighbours look like outliers too.
    far = _far_from_neighbours(paths, used, tolerances) & (trust < C.MANUAL_WEIGHT)
    curves = _solve(bands, paths, np.where(far, 0.0, trust))
    noise = np.zeros(len(paths))
    for _ in range(C.ROBUST_ROUNDS):
        residual = np.linalg.norm(paths - curves, axis=2)
        # The median length of a residual in D dimensions, turned into the deviation of one coordinate.
        median = np.median(residual[:, used], axis=1) / C.MEDIAN_LENGTHS[paths.shape[2] - 1]
        noise = median / np.sqrt(np.maximum(left, C.LEAST_LEFT))
        reach = np.maximum(np.maximum(C.BIWEIGHT_REACH * noise, tolerances), rounding)
        biweight = trust * np.clip(1.0 - (residual / reach[:, None]) ** 2, 0.0, None) ** 2
        weights = np.where(trust >= C.MANUAL_WEIGHT, trust, biweight)
        curves = _solve(bands, paths, weights)
    return curves, noise


def _far_from_neighbours(paths: Array, seen: Flags, tolerances: Array) -> Flags:
    """Points [K, F] far from the median of themselves and the two seen points to each side; seen [F]."""
    far = np.zeros(paths.shape[:2], bool)
    known = paths[:, seen]
    away = np.linalg.norm(known - scipy.ndimage.median_filter(known, (1, 5, 1), mode="nearest"), axis=2)
    # The median of those that are away at all.
    usual = np.array([np.median(row[row > 0.0]) if row.any() else 0.0 for row in away])
    far[:, seen] = away > np.maximum(np.maximum(C.OUTLYING * usual, tolerances), 1e-12)[:, None]
    return far


def _solve(bands: Array, paths: Array, weights: Array) -> Array:
    """Minimisers [K, F, D] of the weighted misfit plus the penalty, whose bands [4, K F] are those of all paths in a row."""
    matrix = bands.copy()
    # The small floor keeps gaps solvable: there the curve follows from its own smoothness.
    matrix[0] += np.maximum(weights, 1e-9).ravel()
    weighted = (paths * weights[..., None]).reshape(-1, paths.shape[2])
    _, curves, info = scipy.linalg.lapack.dpbsv(matrix, weighted, lower=1)
    if info:
        raise np.linalg.LinAlgError("A path could not be smoothed.")
    return np.asarray(curves.reshape(paths.shape))


def _long_gaps(times: Array, seen: Flags, bridge_s: float) -> Flags:
    """Frames [F] inside gaps longer than `bridge_s`, and before and after all that was seen."""
    before = np.maximum.accumulate(np.where(seen, times, -np.inf))
    after = np.minimum.accumulate(np.where(seen, times, np.inf)[::-1])[::-1]
    return np.asarray(~seen & (after - before > bridge_s))
