"""Zero-lag smoothing of noisy rows of positions over their true times, with the noise estimated from the data.

Each row is replaced by the curve that balances closeness to the data against its own jerk (the third
derivative). For even times its frequency response is 1 / (1 + (f / cut-off)^6), exactly that of a third-order
Butterworth filter run forward and backward, so nothing moves in time; unlike a filter it takes uneven times,
gaps and weights as they are. Idea: Whittaker, Proc. Edinburgh Math. Soc. 41 (1923) 63 (from memory); checked in
the tests against scipy.signal.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import scipy
from numpy.typing import NDArray

__all__ = ["MANUAL_WEIGHT", "Smoothed", "noise_gains", "running_mean", "smooth"]

Array = NDArray[np.float64]

ROBUST_ROUNDS = 3
# Residuals beyond this many standard deviations count for nothing (Tukey's biweight keeps 95 % efficiency at 4.685).
BIWEIGHT_REACH = 4.685
# With fewer points there is no telling noise from motion.
LEAST_POINTS = 5
# A point trusted this much was put in place by a person: it is never taken for an outlier.
MANUAL_WEIGHT = 10.0


@dataclass(frozen=True)
class Smoothed:
    """A smoothed row.

    values  [F, D] NaN outside the data and inside long gaps
    noise   standard deviation of one raw point about the curve, per coordinate
    error   [F] standard deviation of the smoothed values that comes from that noise
    kept    [F] whether the raw point was used (False for missing points and outliers)
    """

    values: Array
    noise: float
    error: Array
    kept: NDArray[np.bool_]


@lru_cache(maxsize=64)
def noise_gains(cutoff: float) -> tuple[float, float]:
    """Shares of white noise variance (passed by the smoother, left in the residual) for a cut-off in radians per step.

    >>> passed, left = noise_gains(np.pi / 4)
    >>> round(passed, 2), round(left, 2)
    (0.22, 0.72)
    """
    omega = np.linspace(0.0, np.pi, 400)
    response = 1.0 / (1.0 + (omega / cutoff) ** 6)
    return float(np.mean(response**2)), float(np.mean((1.0 - response) ** 2))


def _penalty(times: Array) -> Array:
    """`jerk_penalty`, remembered: all keypoints of a clip share their times."""
    return _penalty_of(times.tobytes())


@lru_cache(maxsize=32)
def _penalty_of(times: bytes) -> Array:
    return jerk_penalty(np.frombuffer(times))


def jerk_penalty(times: Array) -> Array:
    """Lower bands [4, F] of the matrix P for which z' P z is the integral of the squared third derivative of z."""
    count = times.size
    rows = np.zeros((4, max(count - 3, 0)))
    # Third divided differences, times 3!, are third derivatives.
    for place in range(4):
        others = [times[k : count - 3 + k] for k in range(4) if k != place]
        own = times[place : count - 3 + place]
        rows[place] = 6.0 / np.prod([own - other for other in others], axis=0)
    weight = (times[3:] - times[:-3]) / 3.0
    bands = np.zeros((4, count))
    for offset in range(4):
        for place in range(4 - offset):
            bands[offset, place : count - 3 + place] += weight * rows[place] * rows[place + offset]
    return bands


def smooth(
    times: Array,
    rows: Array,
    cutoff_hz: float,
    weights: Array | None = None,
    *,
    bridge_s: float = 0.12,
    tolerance: float = 0.0,
) -> Smoothed:
    """Smooth one point's path.

    times      [F] s, increasing
    rows       [F, D] positions; a frame with any NaN is missing
    cutoff_hz  half of a motion at this frequency passes, slower motion passes whole
    weights    [F] trust in each point, 1 = full
    bridge_s   longest gap that is bridged by the curve; longer ones stay NaN
    tolerance      a residual up to this size (in the unit of rows) is never taken for an outlier
    """
    seen = np.all(np.isfinite(rows), axis=1)
    if int(seen.sum()) < LEAST_POINTS:
        nothing = np.full(rows.shape, np.nan)
        return Smoothed(nothing, float("nan"), np.full(times.size, np.nan), np.zeros(times.size, bool))
    first, last = np.flatnonzero(seen)[[0, -1]]
    inside = slice(first, last + 1)
    step = float(np.median(np.diff(times[inside])))
    cutoff = 2.0 * np.pi * cutoff_hz * step
    bands = _penalty(np.ascontiguousarray(times[inside] / step)) / cutoff**6
    trust = np.where(seen, 1.0 if weights is None else weights, 0.0)[inside]
    filled = np.where(seen[:, None], rows, 0.0)[inside]
    curve, trusted, noise = _robust_curve(bands, filled, trust, cutoff, tolerance)
    values = np.full(rows.shape, np.nan)
    values[inside] = curve
    values[_long_gaps(times, seen, bridge_s)] = np.nan
    kept = np.zeros(times.size, bool)
    kept[inside] = trusted > 0.1 * np.maximum(trust, 1e-9)
    error = np.full(times.size, np.nan)
    error[inside] = noise * np.sqrt(_passed(trusted, cutoff))
    return Smoothed(values, noise, error, kept & seen)


def _robust_curve(
    bands: Array, rows: Array, trust: Array, cutoff: float, tolerance: float
) -> tuple[Array, Array, float]:
    """The curve, the weights that outliers were left with, and the noise of one coordinate."""
    left = noise_gains(cutoff)[1]
    # A still picture has no noise at all; what rounding leaves of a residual must not make every point an outlier.
    rounding = 1e-6 * float(np.max(np.abs(rows), initial=1e-6))
    # A first curve through far outliers would bend so much that their neighbours look like outliers too.
    curve = _solve(
        bands, rows, np.where(_far_from_neighbours(rows, trust > 0.0, tolerance) & (trust < MANUAL_WEIGHT), 0.0, trust)
    )
    weights, noise = trust, 0.0
    for _ in range(ROBUST_ROUNDS):
        residual = np.linalg.norm(rows - curve, axis=1)
        used = trust > 0.0
        # The median length of a residual in D dimensions, turned into the deviation of one coordinate.
        median = float(np.median(residual[used])) / (0.6745, 1.1774, 1.5382)[rows.shape[1] - 1]
        noise = median / np.sqrt(max(left, 0.05))
        reach = max(BIWEIGHT_REACH * noise, tolerance, rounding)
        weights = np.where(
            trust >= MANUAL_WEIGHT, trust, trust * np.clip(1.0 - (residual / reach) ** 2, 0.0, None) ** 2
        )
        curve = _solve(bands, rows, weights)
    return curve, weights, noise


def _far_from_neighbours(rows: Array, seen: NDArray[np.bool_], tolerance: float) -> NDArray[np.bool_]:
    """Points far from the median of themselves and the two seen points to each side."""
    far = np.zeros(len(rows), bool)
    middle = scipy.ndimage.median_filter(rows[seen], size=(5, 1), mode="nearest")
    away = np.linalg.norm(rows[seen] - middle, axis=1)
    usual = float(np.median(away[away > 0.0])) if np.any(away > 0.0) else 0.0
    far[seen] = away > max(8.0 * usual, tolerance, 1e-12)
    return far


def _solve(bands: Array, rows: Array, weights: Array) -> Array:
    """Minimiser of the weighted misfit plus the penalty."""
    matrix = bands.copy()
    # The small floor keeps gaps solvable: there the curve follows from its own smoothness.
    matrix[0] += np.maximum(weights, 1e-9)
    return np.asarray(scipy.linalg.solveh_banded(matrix, rows * weights[:, None], lower=True, check_finite=False))


def running_mean(row: Array, width: int) -> Array:
    """Mean [F] over an odd number of points around each, zeros beyond the ends; the row may be shorter than the width.

    >>> running_mean(np.ones(2), 5).tolist()
    [0.4, 0.4]
    """
    half = width // 2
    return np.asarray(np.convolve(row, np.ones(width) / width)[half : half + row.size])


def _passed(weights: Array, cutoff: float) -> Array:
    """Share of the noise variance left in the curve, larger where points are missing or mistrusted."""
    passed = noise_gains(cutoff)[0]
    width = max(round(np.pi / cutoff), 1) | 1
    around = running_mean(weights, width)
    return np.minimum(passed / np.maximum(around, 0.02), 4.0)


def _long_gaps(times: Array, seen: NDArray[np.bool_], bridge_s: float) -> NDArray[np.bool_]:
    """Frames inside gaps longer than `bridge_s`."""
    places = np.flatnonzero(seen)
    gaps = np.zeros(times.size, bool)
    for before, after in pairwise(places.tolist()):
        if after - before > 1 and times[after] - times[before] > bridge_s:
            gaps[before + 1 : after] = True
    return gaps
