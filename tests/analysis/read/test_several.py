"""Several swings as one measurement: numbers worked by hand, SciPy's integrals, and drawn clips that nothing was fitted to."""

from __future__ import annotations

import json
from itertools import permutations
from math import comb, exp, pi, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate, stats
from scipy.special import ndtr

from analysis.read.book import CHECKPOINTS
from analysis.read.constants import WHOLE
from analysis.read.several import common_share, median_of, stir
from tests.lift.shares import held, shares_of

KEPT = Path(__file__).parents[2] / "lift" / "data"
TUNE, JUDGE = (json.loads((KEPT / f"again-{use}.json").read_text()) for use in ("tune", "judge"))
SHARES = json.loads((Path(__file__).parents[3] / "analysis" / "read" / "several.json").read_text())["common"]


def around(value: float, half: float) -> tuple[float, float]:
    return value - half, value + half


def test_one_swing_is_its_own_reading():
    assert median_of([41.0], [(30.0, 55.0)], 0.3) == (41.0, (30.0, 55.0))


def test_two_swings_by_hand():
    """Halves 10 and 10, 28 % of the variance common: 28 + 72 / 2 = 64, and the root of that is 8."""
    value, interval = median_of([40.0, 44.0], [around(40, 10), around(44, 10)], 0.28)
    assert (value, interval) == (42.0, pytest.approx((34.0, 50.0)))


def test_two_swings_of_which_one_is_surer_by_hand():
    """Half of the variance common, halves 6 and 2: half of 4² stays, and (36 + 4) / 2 / 4 = 5 is left of the rest; 8 + 5 = 13."""
    _value, (low, high) = median_of([0.0, 1.0], [around(0, 6), around(1, 2)], 0.5)
    assert (high - low) / 2 == pytest.approx(np.sqrt(13))


def test_where_the_whole_error_is_common_nothing_is_gained():
    for count in (2, 3, 5, 8):
        values = [40.0 + n for n in range(count)]
        _value, (low, high) = median_of(values, [around(value, 7) for value in values], WHOLE)
        assert (high - low) / 2 == pytest.approx(7)


def test_an_interval_cut_at_zero_is_taken_by_its_longer_half():
    _value, (low, high) = median_of([3.0, 3.0], [(0.0, 11.0), (0.0, 11.0)], WHOLE)
    assert (low, high) == pytest.approx((-5.0, 11.0))


@pytest.mark.parametrize("count", [3, 4, 5, 7, 9])
def test_equal_swings_narrow_as_the_median_of_a_normal_sample_does(count):
    """The variance of the middle order statistic, integrated by SciPy; of an even count that of the two middle ones' mean."""

    def density(z):
        return exp(-z * z / 2) / sqrt(2 * pi)

    if count % 2:
        place = count // 2 + 1
        own = stats.beta(place, count - place + 1)
        square, _ = integrate.quad(lambda z: z * z * own.pdf(stats.norm.cdf(z)) * stats.norm.pdf(z), -8, 8)
    else:
        half = count // 2
        choices = count * (count - 1) * comb(count - 2, half - 1)
        square, _ = integrate.dblquad(
            lambda y, x: ((x + y) / 2) ** 2 * choices * (ndtr(x) * ndtr(-y)) ** (half - 1) * density(x) * density(y),
            -7,
            7,
            lambda x: x,
            7,
        )
    assert stir(np.zeros(count), np.ones(count)) == pytest.approx(np.sqrt(square), rel=0.03)


def test_three_swings_that_truly_differ_are_no_surer_than_the_one_in_the_middle():
    assert stir(np.array([0.0, 50.0, 100.0]), np.ones(3)) == pytest.approx(1.0, rel=0.01)
    assert stir(np.array([0.0, 50.0, 100.0]), np.array([1.0, 4.0, 1.0])) == pytest.approx(4.0, rel=0.01)


def test_the_same_swings_in_any_order_give_the_same_interval():
    swings = [(30.0, around(30, 6)), (31.5, around(31.5, 6)), (37.0, around(37, 8)), (37.0, around(37, 6))]
    told = {median_of([value for value, _ in some], [own for _, own in some], 0.6) for some in permutations(swings)}
    assert len(told) == 1


@pytest.mark.parametrize("count", [2, 3, 5])
@pytest.mark.parametrize("differ", [0.0, 3.0, 10.0], ids="{:g} errors apart".format)
@pytest.mark.parametrize("common", [0.0, 0.9])
def test_nine_of_ten_intervals_hold_the_median_of_the_true_values(count, differ, common):
    """However much the hitter's swings truly differ, and however much of the error they have in common."""
    rng = np.random.default_rng([count, int(differ), int(100 * common)])
    times, hit = 250, 0
    for _ in range(times):
        true = 40 + differ * rng.standard_normal(count)
        read = true + np.sqrt(common) * rng.standard_normal() + np.sqrt(1 - common) * rng.standard_normal(count)
        _value, (low, high) = median_of(list(read), [around(value, 1.645) for value in read], common)
        hit += low <= np.median(true) <= high
    assert hit / times >= 0.84  # three deviations of the count below nine tenths


@pytest.mark.parametrize(("values", "common", "words"), [([], 0.5, "at least one"), ([1.0], 1.5, "between 0 and 1")])
def test_what_cannot_be_is_refused(values, common, words):
    with pytest.raises(ValueError, match=words):
        median_of(values, [around(value, 1) for value in values], common)


def test_of_what_nothing_is_known_the_whole_error_is_common():
    assert common_share("down_bat_angle", "chest_side") == WHOLE
    assert common_share("no_such_thing", "unknown") == WHOLE


def test_a_view_that_is_not_known_has_the_larger_share():
    side, along = common_share("time_to_start", "back_side"), common_share("time_to_start", "catcher_side")
    assert along < side < WHOLE
    assert common_share("time_to_start", "unknown") == side


def test_shares_lie_between_nothing_and_all_and_are_of_the_book():
    assert SHARES.keys() <= {entry.id for entry in CHECKPOINTS}
    assert all(0 <= share <= 1 for kinds in SHARES.values() for share in kinds.values())


def test_the_kept_shares_are_those_of_the_tuning_clips():
    assert shares_of(TUNE) == SHARES


def test_the_share_agrees_with_the_intraclass_correlation_by_scipys_analysis_of_variance():
    """ICC(1) = (F - 1) / (F + n - 1), Shrout and Fleiss 1979, from memory; errors about a known zero, F by `scipy.stats.f_oneway`."""
    rng = np.random.default_rng(4)
    clips, swings, common = 400, 3, 0.7
    errors = np.sqrt(common) * rng.standard_normal((clips, 1)) + np.sqrt(1 - common) * rng.standard_normal(
        (clips, swings)
    )
    rows = [
        {"clip": n, "kind": "side", "read": {"down_front_knee": [[e / 2, 1.0, 0.0] for e in row]}}
        for n, row in enumerate(errors)
    ]
    ratio = stats.f_oneway(*errors).statistic
    by_scipy = (ratio - 1) / (ratio + swings - 1)
    upper = shares_of(rows)["down_front_knee"]["side"]
    assert by_scipy <= upper <= by_scipy + 0.08


@pytest.mark.parametrize("count", [2, 3])
def test_clips_that_nothing_was_fitted_to_are_held_as_often_as_single_swings(count):
    """31 drawn clips of judging people who swing three times: no checkpoint is held much less often than its single swings, all
    together nine tenths are, and no interval is wider than a single swing's.
    """
    told = held(JUDGE, SHARES, count)
    assert len(told) == 26
    clips = np.array([one[0] for one in told.values()])
    single, together, width = (np.array([one[k] for one in told.values()]) for k in (1, 2, 3))
    assert (together * clips).sum() / clips.sum() >= 0.90
    assert (together >= single - 0.14).all()  # of 15 to 20 clips: no more than two
    assert (width <= 1.0).all()
