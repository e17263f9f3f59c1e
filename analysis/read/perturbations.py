"""Perturbations of a swing: the best estimate, and for every independent error one step to either side of it.

A quantity is measured on all of them at once. How far it moves with each step, squared and summed, is the variance of its error: no
chance is in it, and who learns more of a swing is never less sure of it. S is their number; number 0 is the best estimate.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import accumulate
from typing import Final

import numpy as np

from analysis.read.arrays import Array
from analysis.read.lift import JOINTS
from analysis.read.terms import INSTANTS

# The instants at which the book measures the body, and where the rear elbow is closest to the rear hip.
POSE_INSTANTS: Final = ("set_up", "load", "foot_down", "contact", "extension", "finish", "slot")
POSE: Final = 3 * len(JOINTS)
# Independent errors by what they are of.
_COUNTS: Final = (
    {"poses": POSE * len(POSE_INSTANTS), "up": 3, "ahead": 1, "bat length": 1}
    | {f"time of {name}": 1 for name in (*INSTANTS, "slot")}
    | {f"bat at {name}": 1 for name in INSTANTS}
)
_STARTS: Final = dict(zip(_COUNTS, accumulate(_COUNTS.values(), initial=0), strict=False))
PERTURBATIONS: Final = 1 + 2 * sum(_COUNTS.values())


@lru_cache(maxsize=32)
def steps(source: str) -> Array:
    """What each perturbation does to the errors of one source, [S, N] in deviations: nearly all zero, each error ±1 in two of its own."""
    moved = spread_over(source, np.eye(_COUNTS[source]))
    moved.setflags(write=False)
    return moved


def spread_over(source: str, root: Array) -> Array:
    """Errors [S, P] of the covariance `root` [P, N] times its own transpose, spread over the perturbations of a source's first N errors."""
    errors = np.zeros((PERTURBATIONS, root.shape[0]))
    first, last = 1 + 2 * _STARTS[source], 1 + 2 * (_STARTS[source] + root.shape[1])
    errors[first:last:2], errors[first + 1 : last + 1 : 2] = root.T, -root.T
    return errors


def deviation(values: Array, turn: float | None = None) -> float:
    """The deviation of a quantity measured on all perturbations, [S]; those that have no value tell nothing.

    turn  what a full turn is, for a direction, which may jump by it

    >>> values = 5.0 + 3.0 * steps("ahead")[:, 0] - 4.0 * steps("up")[:, 1]
    >>> deviation(values)
    5.0
    """
    apart = values[1::2] - values[2::2]
    if turn is not None:
        apart = (apart + turn / 2.0) % turn - turn / 2.0
    return float(np.sqrt(np.nansum((apart / 2.0) ** 2)))
