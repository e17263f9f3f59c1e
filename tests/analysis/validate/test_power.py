"""Planted faults of a known size, worked by hand."""

from __future__ import annotations

import pytest

from analysis.validate.judged import Told, grouped
from analysis.validate.power import beyond_band, called_out, calls_of, usual_halves

USUAL = {("knee", "side", 60): 4.0}


def told(value: float | None, half: float = 4.0, truth: float = 20.0, call: str = "in range", **other: object) -> Told:
    interval = None if value is None else (value - half, value + half)
    facts: dict = {"clip": 1, "group": "side", "rate": 60, "name": "knee", "band": (10.0, 30.0)} | other
    return Told(truth=truth, value=value, interval=interval, call=call, **facts)


@pytest.mark.parametrize(("beyond", "said"), [(-1, 0), (0, 0), (1, 0), (1.1, 2), (2, 2)])
def test_a_reading_that_is_exact_calls_what_lies_beyond_its_own_half_width(beyond: float, said: int) -> None:
    assert sum(called_out([told(20.0)], beyond, USUAL)) == said


def test_a_reading_that_is_off_calls_a_smaller_fault_on_one_side_and_none_on_the_other() -> None:
    # Two too high: [18, 26]. A band up to 16 (truth four beyond) is missed for sure, a band from 24 is not.
    assert called_out([told(22.0)], 1, USUAL) == [True, False]


def test_an_interval_that_misses_the_truth_calls_a_sound_swing() -> None:
    # [21, 29] where 20 is true and just in the band.
    assert called_out([told(25.0)], 0, USUAL) == [True, False]


def test_what_was_not_readable_calls_nothing() -> None:
    assert called_out([told(None, call="not readable")], 2, USUAL) == [False, False]


def test_what_is_never_readable_is_left_out() -> None:
    assert called_out([told(None, call="not readable")], 2, {}) == []


def test_an_interval_wider_than_usual_calls_less() -> None:
    # Usual is 4; [12, 28] about 20 calls nothing of a fault of two times that, just so, and all of one of three times.
    assert [sum(called_out([told(20.0, half=8.0)], size, USUAL)) for size in (2, 3)] == [0, 2]


def test_the_usual_half_width_is_the_median_of_what_was_read() -> None:
    rows = [told(1.0, half=2.0), told(1.0, half=3.0), told(1.0, half=9.0), told(None), told(None, name="hips")]
    assert usual_halves(rows) == {("knee", "side", 60): 3.0}


@pytest.mark.parametrize(("truth", "size"), [(10.0, None), (30.0, None), (38.0, 2.0), (4.0, 1.5)])
def test_how_far_a_truth_lies_outside_its_band(truth: float, size: float | None) -> None:
    assert beyond_band(told(20.0, truth=truth), USUAL) == size


def test_shares_of_calls() -> None:
    rows = [told(20.0), told(12.0, call="too close to call"), told(None, call="not readable"), told(21.0)]
    assert calls_of(rows) == {"in range": 0.5, "out of range": 0.0, "too close to call": 0.25, "not readable": 0.25}
    assert calls_of([]) == {}


def test_a_row_knows_its_error_its_half_width_and_whether_it_held() -> None:
    row = told(25.0)
    assert (row.error, row.half, row.held, row.sound) == (5.0, 4.0, False, True)
    assert told(20.0, truth=30.0).sound
    assert not told(20.0, truth=30.1).sound
    assert told(20.0, truth=-500.0, band=(None, 30.0)).sound


def test_rows_are_grouped_in_the_order_of_the_book() -> None:
    rows = [told(1.0, name="b"), told(1.0, name="a", group="along"), told(1.0, name="a"), told(2.0, name="a")]
    by = grouped(rows, ["b", "a"])
    assert list(by) == [("b", "side", 60), ("a", "side", 60), ("a", "along", 60)]
    assert len(by["a", "side", 60]) == 2
