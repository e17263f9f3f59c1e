"""Whether two readings differ by more than their errors.

The smallest detectable change of equal errors is 1.645 √2 SEM at 90 % (1.96 √2 SEM at 95 %: Weir 2005; Bland and Altman's
repeatability; from memory).
"""

from __future__ import annotations

import doctest
from math import sqrt

import numpy as np
import pytest

from portal.measuring import change as module
from portal.measuring.change import CHANGED, NOT_COMPARABLE, NOT_SEEN, change, smallest_change


def reading(value, half=5.0, checkpoint="down_front_knee"):
    return {"checkpoint": checkpoint, "value": value, "interval": [value - half, value + half]}


def test_examples():
    assert doctest.testmod(module).failed == 0


def test_it_is_the_published_formula_for_two_equal_errors():
    assert smallest_change(3.0, 3.0, 0.0) == pytest.approx(1.645 * sqrt(2) * 3.0, rel=1e-3)


@pytest.mark.parametrize(("apart", "verdict"), [(0.0, NOT_SEEN), (7.0, NOT_SEEN), (-7.2, CHANGED), (20.0, CHANGED)])
def test_two_clips_differ_where_their_errors_do_not_explain_it(apart, verdict):
    told = change(reading(30.0 + apart), reading(30.0))
    assert (told["verdict"], told["difference"]) == (verdict, pytest.approx(apart))
    assert told["smallest"] == pytest.approx(5 * sqrt(2))


def test_what_both_swings_of_a_clip_err_alike_does_not_count():
    one, other = reading(35.0), reading(30.0)
    assert change(one, other)["verdict"] == NOT_SEEN
    assert change(one, other, view="chest_side")["verdict"] == CHANGED
    assert change(one, other, view="chest_side")["smallest"] < 2


def test_what_was_not_read_is_not_compared():
    unread = {**reading(0.0), "value": None, "interval": None}
    for pair in ((reading(1.0), unread), (unread, reading(1.0)), (None, reading(1.0))):
        assert change(*pair) == {"verdict": NOT_COMPARABLE, "difference": None, "smallest": None}


def test_an_interval_that_was_cut_at_an_end_is_taken_by_its_longer_half():
    cut = {**reading(3.0), "interval": [0.0, 8.0]}
    assert change(cut, reading(3.0))["smallest"] == pytest.approx(5 * sqrt(2))


@pytest.mark.parametrize("common", [0.0, 0.6, 0.95])
def test_where_nothing_changed_nine_of_ten_pairs_say_so(common):
    random = np.random.default_rng(3)
    shared = random.standard_normal(20_000)
    one, other = (sqrt(common) * shared + sqrt(1 - common) * random.standard_normal(20_000) for _side in range(2))
    seen = np.abs(4.0 * one - 3.0 * other) <= smallest_change(4.0, 3.0, common)
    assert seen.mean() == pytest.approx(0.9, abs=0.01)
