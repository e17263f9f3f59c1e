"""How well values agree with their truth, and intervals with their promise. N values; errors are value minus truth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.stats
from numpy.typing import ArrayLike, NDArray

__all__ = [
    "Share",
    "correlation",
    "interval_score",
    "least_of_fifths",
    "limits_of_agreement",
    "rank_correlation",
    "share_of",
]

Array = NDArray[np.float64]

# Deviations of a normal distribution that hold 95 %.
Z_95 = 1.96  # standard deviations: half of the range that holds 95 % of a normal distribution
FIFTHS_OF = 50  # values, choice: of fewer a fifth tells nothing


@dataclass(frozen=True)
class Share:
    """How many of how many, and between which shares the true one lies with 95 % confidence."""

    count: int
    of: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """The share itself; NaN of none."""
        return self.count / self.of if self.of else float("nan")


def share_of(held: ArrayLike) -> Share:
    """The share of true ones, with its exact binomial interval (Clopper and Pearson 1934)."""
    flags = np.asarray(held, dtype=bool)
    if not flags.size:
        return Share(0, 0, 0.0, 1.0)
    exact = scipy.stats.binomtest(int(flags.sum()), flags.size).proportion_ci(0.95, method="exact")
    return Share(int(flags.sum()), flags.size, float(exact.low), float(exact.high))


def least_of_fifths(held: ArrayLike, truth: ArrayLike) -> float:
    """The least share of true ones in any fifth of the truths, so among hitters of any kind; NaN of fewer than `FIFTHS_OF`."""
    flags, truths = np.asarray(held, dtype=bool), np.asarray(truth, dtype=np.float64)
    if flags.size < FIFTHS_OF:
        return float("nan")
    part = np.searchsorted(np.quantile(truths, [0.2, 0.4, 0.6, 0.8]), truths)
    return min(float(flags[part == which].mean()) for which in np.unique(part))


def limits_of_agreement(errors: ArrayLike) -> tuple[float, float]:
    """Between which 95 % of errors are expected: bias -+ 1.96 deviations (Bland and Altman 1986); NaN of fewer than two."""
    off = np.asarray(errors, dtype=np.float64)
    if off.size < 2:
        return float("nan"), float("nan")
    reach = Z_95 * float(off.std(ddof=1))
    return float(off.mean()) - reach, float(off.mean()) + reach


def interval_score(low: ArrayLike, high: ArrayLike, truth: ArrayLike, level: float = 0.9) -> float:
    """Mean score of intervals of a level, less is better (Gneiting and Raftery 2007, section 6.2); NaN of none.

    The width, and for a truth outside 2 / (1 - level) times how far outside it lies.
    """
    lows, highs, truths = (np.asarray(values, dtype=np.float64) for values in (low, high, truth))
    if not truths.size:
        return float("nan")
    missed = np.maximum(lows - truths, 0.0) + np.maximum(truths - highs, 0.0)
    return float(np.mean(highs - lows + 2.0 / (1.0 - level) * missed))


def correlation(values: ArrayLike, truths: ArrayLike) -> float:
    """Pearson's correlation of values with their truth; NaN of fewer than three, or where all are alike."""
    told, true = np.asarray(values, dtype=np.float64), np.asarray(truths, dtype=np.float64)
    if told.size < 3 or np.ptp(told) == 0.0 or np.ptp(true) == 0.0:
        return float("nan")
    return float(scipy.stats.pearsonr(told, true).statistic)


def rank_correlation(errors: ArrayLike, widths: ArrayLike) -> float:
    """Spearman's rank correlation of the errors' sizes with the widths; NaN of fewer than three, or where all are alike."""
    size, wide = np.abs(np.asarray(errors, dtype=np.float64)), np.asarray(widths, dtype=np.float64)
    if size.size < 3 or np.ptp(size) == 0.0 or np.ptp(wide) == 0.0:
        return float("nan")
    return float(scipy.stats.spearmanr(size, wide).statistic)
