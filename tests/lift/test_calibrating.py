"""What calibration teaches: intervals that hold for hitters of every kind, values that follow how they differ."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.read.arrays import Array
from analysis.read.readings import stretched

from .calibrating import EVEN, PARTS, Taught, taught_by
from .judge import Row, heard_factors


def guessed(hitters: int, noise: float, seed: int = 1) -> tuple[Array, Array, Array]:
    """Best linear guesses [N] of truths, most near 40 and some far above it, with half their 90 % intervals [N], and the truths [N]."""
    rng = np.random.default_rng(seed)
    truths = 40.0 + rng.exponential(10.0, hitters)
    noises = noise * rng.uniform(0.7, 1.3, hitters)
    follows = 10.0**2 / (10.0**2 + noises**2)
    values = 50.0 + follows * (rng.normal(truths, noises) - 50.0)
    return values, 1.645 * np.sqrt(follows) * noises, truths


def said(taught: Taught, values: Array, halves: Array) -> tuple[Array, Array]:
    more = stretched(taught.stretch, halves, taught.spread)
    value = values + more * (values - taught.centre) + taught.offset
    return value, halves * (1.0 + more) * taught.factor


def leaning(values: Array, truths: Array) -> float:
    return float(np.polyfit(truths, values - truths, 1)[0])


def test_intervals_hold_for_most_hitters_of_every_kind() -> None:
    plain, even = (taught_by(*guessed(4000, noise=12.0), evenly=evenly) for evenly in (False, True))
    values, halves, truths = guessed(4000, noise=12.0, seed=2)
    part = np.searchsorted(np.quantile(truths, PARTS), truths)
    least = []
    for taught in (plain, even):
        value, half = said(taught, values, halves)
        holds = np.abs(value - truths) <= half
        assert np.mean(holds) > 0.88
        least.append(min(np.mean(holds[part == which]) for which in range(5)))
    assert least[0] < EVEN - 0.04  # what a best guess costs those who differ
    assert least[1] > EVEN - 0.03


def test_a_stretched_value_leans_less() -> None:
    values, halves, truths = guessed(4000, noise=12.0)
    taught = taught_by(values, halves, truths, evenly=True)
    assert taught.stretch > 0.0
    others = guessed(4000, noise=12.0, seed=2)
    value, half = said(taught, *others[:2])
    assert leaning(others[0], others[2]) < leaning(value, others[2]) - 0.1
    assert np.median(half) < np.median(others[1]) * _even_without_stretch(values, halves, truths)


def _even_without_stretch(values: Array, halves: Array, truths: Array) -> float:
    """The factor by which intervals would have to be wider to hold as evenly."""
    ratio = np.abs(values - truths) / halves
    part = np.searchsorted(np.quantile(truths, PARTS), truths)
    return max(float(np.quantile(ratio[part == which], EVEN)) for which in range(5))


def test_what_follows_the_truth_is_left_as_it_is() -> None:
    rng = np.random.default_rng(5)
    truths = rng.normal(50.0, 10.0, 1000)
    taught = taught_by(truths + 3.0 + rng.normal(0.0, 1.0, 1000), np.full(1000, 1.645), truths, evenly=True)
    assert taught.stretch <= 0.1
    assert taught.offset == pytest.approx(-3.0, abs=0.2)
    assert taught.factor == pytest.approx(1.0, abs=0.1)


def test_a_surer_value_is_stretched_less_and_none_without_end() -> None:
    assert stretched(0.5, 10.0, 10.0) == pytest.approx(0.5)
    assert stretched(0.5, 2.0, 10.0) == pytest.approx(0.02)
    assert stretched(0.5, 100.0, 10.0) == pytest.approx(1.0)


def test_truths_that_do_not_differ_are_no_reason_to_stop() -> None:
    assert taught_by(np.arange(30.0), np.ones(30), np.full(30, 7.0), evenly=True).factor > 0.0


def test_contact_that_was_heard_is_widened_until_it_holds_and_never_moved() -> None:
    rng = np.random.default_rng(5)

    def heard(count: int, group: str, late: float, sd: float) -> list[Row]:
        return [Row(n, group, "heard contact", late + sd * rng.normal(), 1.0, 0.0) for n in range(count)]

    factors = heard_factors([*heard(800, "side", 0.3, 0.8), *heard(800, "along", 0.3, 1.6), *heard(5, "between", 0.0, 9.0)])
    for group, sd in (("side", 0.8), ("along", 1.6)):
        held = [abs(row.value or 0.0) <= factors[group] for row in heard(4000, group, 0.3, sd)]
        assert 0.88 < np.mean(held) < 0.93
    assert factors["side"] < factors["between"] < factors["along"]  # too few to go by, so by all
