"""The maths of validation, against examples worked by hand, published ones, and SciPy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import beta, rankdata

from analysis.validate.agreement import (
    correlation,
    interval_score,
    least_of_fifths,
    limits_of_agreement,
    rank_correlation,
    share_of,
)

# Peak flow of 17 people by two meters, l/min: the example of Bland and Altman, Lancet 1986; i: 307-310, first measurements (from memory;
# the sums agree with the figures that the paper gives).
LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
SMALL = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]


def test_limits_of_agreement_are_those_of_the_paper() -> None:
    off = np.subtract(LARGE, SMALL)
    assert off.mean() == pytest.approx(-2.1, abs=0.05)
    low, high = limits_of_agreement(off)
    # The paper gives a deviation of 38.8, and limits by 2 of them; we take 1.96, as the authors do later (1999).
    assert (high - low) / 2 / 1.96 == pytest.approx(38.8, abs=0.05)
    assert (low, high) == (pytest.approx(-2.1 - 1.96 * 38.8, abs=0.1), pytest.approx(-2.1 + 1.96 * 38.8, abs=0.1))


def test_the_correlation_is_that_of_the_paper() -> None:
    """The paper gives r = 0.94 (from memory) and says that it does not tell how near two meters are: for that there are the limits."""
    assert correlation(LARGE, SMALL) == pytest.approx(0.94, abs=0.005)
    assert math.isnan(correlation([1.0, 2.0], [2.0, 3.0]))
    assert math.isnan(correlation([1.0, 2.0, 3.0], [2.0, 2.0, 2.0]))


def test_what_holds_for_the_most_may_fail_those_who_differ() -> None:
    """Of a hundred truths the twenty greatest lie outside, by hand: four in five hold, and none of those."""
    truths = np.arange(100.0)
    assert least_of_fifths(truths < 80.0, truths) == 0.0
    assert least_of_fifths(truths % 5.0 > 0.0, truths) == pytest.approx(0.8)
    assert math.isnan(least_of_fifths(truths[:49] > 0.0, truths[:49]))


def test_one_error_has_no_limits() -> None:
    assert all(math.isnan(limit) for limit in limits_of_agreement([3.0]))


def test_all_of_ten_leaves_three_tenths_in_doubt() -> None:
    """For n of n the lower end is (5 % / 2) to the power of 1 / n, by hand."""
    share = share_of([True] * 10)
    assert (share.share, share.high) == (1.0, 1.0)
    assert share.low == pytest.approx(0.025 ** (1 / 10))


def test_the_interval_of_a_share_is_made_of_beta_quantiles() -> None:
    share = share_of([True] * 125 + [False] * 14)
    assert share.share == pytest.approx(125 / 139)
    assert share.low == pytest.approx(beta.ppf(0.025, 125, 15))
    assert share.high == pytest.approx(beta.ppf(0.975, 126, 14))


def test_a_share_of_none_is_unknown() -> None:
    share = share_of([])
    assert math.isnan(share.share)
    assert (share.low, share.high) == (0.0, 1.0)


def test_an_interval_pays_for_its_width_and_twenty_times_for_what_it_misses() -> None:
    assert interval_score([0.0], [10.0], [5.0]) == pytest.approx(10.0)
    assert interval_score([0.0], [10.0], [12.0]) == pytest.approx(10.0 + 20.0 * 2.0)
    assert interval_score([0.0, 0.0], [10.0, 10.0], [-1.0, 5.0]) == pytest.approx((30.0 + 10.0) / 2)


def test_the_best_score_is_that_of_the_true_quantiles() -> None:
    """The score is proper: of normal truths it is least for -+ 1.645 deviations."""
    truth = np.random.default_rng(1).normal(0, 1, 200_000)
    scores = {
        half: interval_score(np.full(truth.size, -half), np.full(truth.size, half), truth) for half in (1.3, 1.645, 2.0)
    }
    assert min(scores, key=lambda half: scores[half]) == 1.645


def test_rank_correlation_by_hand() -> None:
    # Ranks 1 2 3 4 5 against 2 1 4 3 5: squared differences add up to 4, so 1 - 6 * 4 / (5 * 24).
    assert rank_correlation([1, -2, 3, -4, 50], [20, 10, 40, 30, 99]) == pytest.approx(0.8)


def test_rank_correlation_is_that_of_the_ranks_where_some_are_alike() -> None:
    rng = np.random.default_rng(2)
    errors, widths = rng.integers(0, 6, 40), rng.integers(0, 6, 40)
    assert rank_correlation(errors, widths) == pytest.approx(np.corrcoef(rankdata(errors), rankdata(widths))[0, 1])


def test_widths_that_are_all_alike_rank_nothing() -> None:
    assert math.isnan(rank_correlation([1, 2, 3], [4, 4, 4]))
