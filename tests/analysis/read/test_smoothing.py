"""The smoother against scipy.signal, and the promises that a plain filter cannot keep: gaps, outliers, uneven times."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import signal

from analysis.read.constants import LEAST_POINTS
from analysis.read.smoothing import noise_gains
from analysis.read.smoothing import smooth as smooth_paths

FPS = 60.0


class Smoothed(NamedTuple):
    values: np.ndarray
    error: np.ndarray


def smooth(
    times: np.ndarray,
    rows: np.ndarray,
    cutoff_hz: float,
    weights: np.ndarray | None = None,
    bridge_s: float = 0.12,
    tolerance: float = 0.0,
) -> Smoothed:
    """One path [F, D] smoothed, without the axis of paths."""
    trust = np.ones(len(rows)) if weights is None else weights
    got = smooth_paths(times, rows[None], np.array([cutoff_hz]), trust[None], np.array([tolerance]), bridge_s)
    return Smoothed(*(paths[0] for paths in got))


def sweep(times: np.ndarray) -> np.ndarray:
    """A motion of many speeds: two coordinates, 0.5 to 5 Hz."""
    rows = [sum(np.sin(2 * np.pi * f * times + f + k) / f for f in (0.5, 1.3, 2.1, 5.0)) for k in (0.0, 1.0)]
    return np.stack(rows, axis=1)


def test_it_passes_what_scipys_forward_backward_butterworth_passes() -> None:
    times = np.arange(600) / FPS
    rows = sweep(times)
    b, a = signal.butter(3, 8.0, fs=FPS)
    expected = signal.filtfilt(b, a, rows, axis=0)
    got = smooth(times, rows, 8.0).values
    # SciPy's filter is warped near half the frame rate; in the middle of the row the two agree to a hundredth.
    assert np.max(np.abs(got - expected)[60:-60]) < 0.01


@pytest.mark.parametrize("frequency", [2.0, 6.0, 12.0])
def test_the_cutoff_halves_a_motion_at_its_frequency(frequency: float) -> None:
    times = np.arange(2400) / 240.0
    wave = np.sin(2 * np.pi * frequency * times)[:, None]
    # The promise is for a row without outliers, so none is looked for.
    got = smooth(times, wave, frequency, tolerance=1e9).values[600:-600, 0]
    assert np.ptp(got) / 2 == pytest.approx(0.5, abs=0.02)


@pytest.mark.parametrize("cutoff", [4.0, 8.0, 12.0])
def test_nothing_moves_in_time(cutoff: float) -> None:
    times = np.arange(600) / FPS
    pulse = np.exp(-0.5 * ((times - 5.0) / 0.08) ** 2)[:, None]
    got = smooth(times, pulse, cutoff, tolerance=1e9).values[:, 0]
    fine = np.arange(0.0, times[-1], 1e-4)
    lags = signal.correlation_lags(fine.size, fine.size)
    match = signal.correlate(np.interp(fine, times, got), np.interp(fine, times, pulse[:, 0]), method="fft")
    assert abs(lags[int(np.argmax(match))] * 1e-4) < 5e-4


def test_running_backward_gives_the_same_curve() -> None:
    times = np.arange(200) / FPS
    rows = sweep(times) + np.random.default_rng(3).normal(0, 0.05, (200, 2))
    forward = smooth(times, rows, 6.0).values
    backward = smooth(times, rows[::-1].copy(), 6.0).values[::-1]
    np.testing.assert_allclose(forward, backward, atol=1e-6)


@given(seed=st.integers(0, 1000), noise=st.floats(0.02, 0.5))
@settings(max_examples=15, deadline=None)
def test_the_noise_is_found_from_the_data(seed: int, noise: float) -> None:
    times = np.arange(400) / FPS
    rows = sweep(times) + np.random.default_rng(seed).normal(0.0, noise, (400, 2))
    passed, _ = noise_gains(2 * np.pi * 8.0 / FPS)
    error = np.median(smooth(times, rows, 8.0).error)
    assert error == pytest.approx(noise * np.sqrt(passed), rel=0.25)


def test_the_stated_error_is_the_error() -> None:
    times = np.arange(400) / FPS
    slow = np.stack([np.sin(times), np.cos(times)], axis=1)
    misses, stated = [], []
    for seed in range(20):
        got = smooth(times, slow + np.random.default_rng(seed).normal(0.0, 0.1, slow.shape), 8.0)
        misses.append(np.std((got.values - slow)[30:-30]))
        stated.append(float(np.mean(got.error[30:-30])))
    assert np.mean(stated) == pytest.approx(np.mean(misses), rel=0.15)


def test_an_outlier_leaves_no_trace() -> None:
    times = np.arange(300) / FPS
    clean = sweep(times)
    spoiled = clean + np.random.default_rng(0).normal(0, 0.01, clean.shape)
    spoiled[[50, 120, 121, 200]] += 5.0
    got = smooth(times, spoiled, 8.0)
    assert np.max(np.abs(got.values - clean)[40:260]) < 0.15


def test_a_short_gap_is_bridged_and_a_long_one_stays_open() -> None:
    times = np.arange(300) / FPS
    rows = sweep(times)
    rows[100:103], rows[180:200] = np.nan, np.nan
    got = smooth(times, rows, 8.0, bridge_s=0.12).values
    assert np.isfinite(got[100:103]).all()
    assert np.isnan(got[180:200]).all()
    assert np.isfinite(got[200:]).all()


def test_nothing_is_made_up_outside_the_data() -> None:
    times = np.arange(100) / FPS
    rows = sweep(times)
    rows[:20], rows[90:] = np.nan, np.nan
    got = smooth(times, rows, 8.0)
    assert np.isnan(got.values[:20]).all()
    assert np.isnan(got.values[90:]).all()
    assert np.isnan(got.error[0])


def test_uneven_times_are_taken_as_they_are() -> None:
    rng = np.random.default_rng(5)
    times = (np.arange(300) + rng.uniform(-0.4, 0.4, 300)) / FPS
    times[150:] += 0.05
    rows = sweep(times)
    got = smooth(times, rows + rng.normal(0.0, 0.01, rows.shape), 10.0).values
    # Taken for even, the same points would be wrong by a tenth and more.
    assert np.nanmax(np.abs(got - rows)[10:-10]) < 0.05


def test_too_few_points_give_nothing() -> None:
    rows = np.full((50, 2), np.nan)
    rows[: LEAST_POINTS - 1] = 1.0
    got = smooth(np.arange(50) / FPS, rows, 8.0)
    assert np.isnan(got.values).all()
    assert np.isnan(got.error).all()


def test_a_trusted_point_pulls_the_curve_to_itself() -> None:
    times = np.arange(60) / FPS
    rows = np.zeros((60, 2))
    rows[30] = 0.05
    weights = np.ones(60)
    weights[30] = 50.0
    light = smooth(times, rows, 8.0, tolerance=1.0).values[30, 0]
    heavy = smooth(times, rows, 8.0, weights, tolerance=1.0).values[30, 0]
    assert light < 0.02
    assert heavy > 0.04


def test_shares_of_noise_are_shares() -> None:
    for cutoff in (0.2, 1.0, 3.0):
        passed, left = noise_gains(cutoff)
        assert 0.0 < passed < 1.0
        assert 0.0 < left < 1.0


@pytest.mark.parametrize("place", [0.0, 3.7, 1234.5])
def test_a_point_that_never_moves_stays_where_it_is(place: float) -> None:
    """A film made of one photograph gives the same keypoint in every frame."""
    smoothed = smooth(np.arange(240) / 60.0, np.full((240, 2), place), 8.0)
    np.testing.assert_allclose(smoothed.values, place, atol=1e-3)
    assert smoothed.error.max() < 1e-3


@pytest.mark.parametrize("frames", [5, 12, 34])
def test_a_clip_shorter_than_the_smoother_reaches_is_smoothed_all_the_same(frames: int) -> None:
    """Half a second of a film in slow motion: the cut-off lies far below what so few frames can show."""
    path = np.linspace(0.0, 1.0, frames)[:, None] * [3.0, -2.0]
    smoothed = smooth(np.arange(frames) / 30.0, path, 0.2)
    assert smoothed.values.shape == smoothed.error[:, None].repeat(2, axis=1).shape == (frames, 2)
    np.testing.assert_allclose(smoothed.values, path, atol=0.05)


def test_paths_with_gaps_of_their_own_are_smoothed_as_if_alone() -> None:
    times, rng = np.arange(120) / FPS, np.random.default_rng(5)
    paths = np.stack([sweep(times) + rng.normal(0.0, 0.02, (120, 2)) for _ in range(4)])
    paths[1, 40:44], paths[2, :10], paths[3, 40:44] = np.nan, np.nan, np.nan
    cutoffs, trust = np.array([6.0, 8.0, 8.0, 12.0]), rng.uniform(0.3, 1.0, (4, 120))
    curves, errors = smooth_paths(times, paths, cutoffs, trust, np.full(4, 0.01), bridge_s=0.12)
    for k in range(4):
        alone = smooth(times, paths[k], cutoffs[k], trust[k], tolerance=0.01)
        np.testing.assert_array_equal(curves[k], alone.values)
        np.testing.assert_array_equal(errors[k], alone.error)
