"""Several swings of a clip are one better measurement: their median, and how sure that is.

What the interval covers: with 90 % the median of the *true* values of the swings that count, in this clip: what this hitter did here.
It is no promise about other swings, other days or other clips, and it does not grow where the hitter's swings truly differ; how far
they do is seen by their single values. (Where they differ by more than their errors, the median hangs on one swing and is no surer
than that: the interval then hardly narrows.)

An error of a reading has two parts. One stays from swing to swing: the same camera, body, clothes, light, bones, line to the pitcher.
However many swings there are, it stays whole. The other is another one in every swing and partly cancels. What share of the variance
stays was measured on drawn hitters who swing several times before one camera (`python -m tests.lift.again`, kept in ``several.json``
with an upper limit in place of the estimate); where nothing is known of a checkpoint the whole error counts as common, and several
swings are then no surer than one.

Variance components of repeated measurement and their use: Bland and Altman, "Measurement error", BMJ 313:744 (1996); Shrout and Fleiss,
"Intraclass correlations", Psychological Bulletin 86:420 (1979); both from memory. NumPy only.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.groups import group_of_view
from analysis.read.result import Interval


def median_of(values: Sequence[float], intervals: Sequence[Interval], common: float) -> tuple[float, Interval]:
    """The median of readings of several swings, and its 90 % interval.

    values     one for each swing that counts
    intervals  90 % interval of each; one that was cut at an end is taken by its longer half
    common     share 0..1 of an error's variance that stays from swing to swing

    With one swing its own value and interval. Raises ValueError without any, or for a share beyond 0..1.

    >>> median_of([40.0, 44.0], [(30.0, 50.0), (34.0, 54.0)], common=1.0)
    (42.0, (32.0, 52.0))
    >>> median_of([40.0, 44.0], [(30.0, 50.0), (34.0, 54.0)], common=0.28)
    (42.0, (34.0, 50.0))
    """
    if not values or len(values) != len(intervals):
        raise ValueError(
            f"Expected as many intervals as values and at least one, got {len(values)} and {len(intervals)}."
        )
    if not 0.0 <= common <= 1.0:
        raise ValueError(f"A share lies between 0 and 1, got {common!r}.")
    if len(values) == 1:
        return float(values[0]), (float(intervals[0][0]), float(intervals[0][1]))
    each = np.asarray(values, dtype=np.float64)
    halves = np.array([max(value - low, high - value) for value, (low, high) in zip(each, intervals, strict=True)])
    middle = float(np.median(each))
    stays = np.sqrt(common) * float(halves.mean())
    goes = C.Z_90 * stir(each, np.sqrt(1.0 - common) * halves / C.Z_90)
    half = float(np.hypot(stays, goes))
    return middle, (middle - half, middle + half)


def stir(values: Array, errors: Array) -> float:
    """How far the median of `values` [N] goes when each is moved by an error of its own, root of the mean square.

    errors  [N] deviation of each one's error

    Of two it is their mean's: errors over the root of two. Of more it depends on how the values lie: of three equal ones 0.67 of an
    error, of three far apart a whole one, for then the one in the middle alone decides. No chance is in it: the tries are always
    the same ones.
    """
    if values.size == 2:
        return float(np.hypot(*errors) / 2.0)
    order = np.lexsort((errors, values))  # the order in which swings are told changes nothing
    moved = np.median(values[order] + _tries(values.size) * errors[order], axis=1) - np.median(values)
    return float(np.sqrt(np.mean(moved**2)))


@lru_cache(maxsize=16)
def _tries(count: int) -> Array:
    """Normal errors of one deviation each [2 * TRIES, count], every try with its opposite, columns without correlation."""
    half = np.random.default_rng(count).standard_normal((C.MEDIAN_TRIES, count))
    half = half @ np.linalg.inv(np.linalg.cholesky(half.T @ half / C.MEDIAN_TRIES)).T
    return np.concatenate([half, -half])


def common_share(checkpoint: str, view: str) -> float:
    """What share of the variance of a checkpoint's error stays from swing to swing when seen from a view."""
    known = _known().get(checkpoint, {})
    kinds = ("side", "along") if view == "unknown" else (group_of_view(view),)
    return max(known.get(kind, C.WHOLE) for kind in kinds)


@lru_cache(maxsize=1)
def _known() -> dict[str, dict[str, float]]:
    shares: dict[str, dict[str, float]] = json.loads(Path(__file__).with_name("several.json").read_text())["common"]
    return shares
