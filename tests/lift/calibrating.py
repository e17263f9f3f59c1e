"""What an interval needs to hold for hitters of every kind, and a value to follow how they differ.

A network fitted to least error says too little of what is unusual about a hitter: its values lean toward what drawn hitters do, by more
where it is less sure. On average over hitters like the drawn ones that is the best guess; of one who differs, whoever filmed them, it is
wrong in a known direction. So a value is stretched away from what is usual by a share that grows with the square of its spread, as the
leaning of a best guess does: with noise of deviation s about truths of deviation d it is (s / d)² of what is left (regression dilution,
the classical calibration of Eisenhart 1939; both from memory). Intervals hold nine tenths of the truths (split conformal prediction,
Vovk and others; from memory) and `EVEN` of those of each fifth of the hitters, by their truth: an interval that holds for nine hitters of
ten, and not for the tenth who does what a coach looks for, is no help to either.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from analysis.read.arrays import Array
from analysis.read.readings import stretched

__all__ = ["HOLDS", "Taught", "conformal", "taught_by"]

HOLDS: Final = 0.9  # share of truths in an interval: what it claims
EVEN: Final = 0.75  # share, choice: the same in each fifth of the truths
PARTS: Final = (0.2, 0.4, 0.6, 0.8)
PAYS: Final = 0.96  # share, choice: stretched is what then has an even interval of at most this of what it has else
STRETCHES: Final = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.3)


@dataclass(frozen=True)
class Taught:
    """What calibration gives for values of a kind.

    A value v with half an interval h becomes v + offset + k (v - centre), with h times (1 + k) times the factor; k is
    `analysis.read.readings.stretched` of stretch and spread. ``usual`` half an interval as it then usually is.
    """

    offset: float
    factor: float
    usual: float
    stretch: float
    centre: float
    spread: float


def taught_by(values: Array, halves: Array, truths: Array, evenly: bool) -> Taught:
    """What values [N] with half intervals [N] need to hold truths [N]: the stretch with the narrowest even intervals, where it pays.

    Not ``evenly`` nothing is stretched, and all truths count alike: for instants, which differ by where a film begins.
    """
    plain = _with(values, halves, truths, 0.0, evenly)
    if not evenly:
        return plain
    best = min(
        (_with(values, halves, truths, stretch, evenly) for stretch in STRETCHES), key=lambda taught: taught.usual
    )
    return best if best.usual <= PAYS * plain.usual else plain


def _with(values: Array, halves: Array, truths: Array, stretch: float, evenly: bool) -> Taught:
    centre, spread = float(np.median(values)), float(np.median(halves))
    by = stretched(stretch, halves, spread)
    value = values + by * (values - centre)
    half = np.maximum(halves * (1.0 + by), 1e-9)
    offset = -float(np.median(value - truths))
    off = value + offset - truths
    ratio = np.abs(off) / half
    factor = conformal(ratio, HOLDS)
    if evenly:
        part = np.searchsorted(np.quantile(truths, PARTS), truths)
        factor = max(factor, *(conformal(ratio[part == which], EVEN) for which in np.unique(part)))
    return Taught(offset, factor, float(np.median(half)) * factor, stretch, centre, spread)


def conformal(ratio: Array, share: float) -> float:
    """The finite sample's quantile of split conformal prediction: by what half intervals grow so that a share of the truths lies within.

    ratio  [N] how far off each value was, in half intervals
    """
    ordered = np.sort(ratio)
    return float(ordered[min(len(ordered) - 1, int(np.ceil(share * (len(ordered) + 1))) - 1)])
