"""A swing is told from what only looks like one, by its body and at its own tempo."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import correlate

from analysis.read import read
from analysis.read.corrections import parse_corrections
from analysis.read.instant_network import GRID_S, INPUTS
from analysis.read.networks import arrays, parameters
from analysis.read.swing_classifier import COLUMNS, DILATIONS, EVERY, MIDDLE, swing_odds
from analysis.read.swing_search import search_swings
from tests.analysis.read.motion import TOWARD_CAMERA, Film, Swing, film_swing

ROUGH = {"noise_px": 1.5, "depth_noise_m": 0.02}
views = pytest.mark.parametrize("view", TOWARD_CAMERA)


def found(film: Film) -> int:
    return len(read(film_swing(film)).swings)


def silu(rows: np.ndarray) -> np.ndarray:
    return rows / (1 + np.exp(-rows))


def convolved(rows: np.ndarray, weights: np.ndarray, bias: np.ndarray, dilation: int) -> np.ndarray:
    """Rows [G, D] under weights [T, D, E], as SciPy correlates them."""
    taps = np.zeros(((len(weights) - 1) * dilation + 1, *weights.shape[1:]))
    taps[::dilation] = weights
    out = np.zeros((len(rows), weights.shape[2]))
    for d in range(rows.shape[1]):
        for e in range(weights.shape[2]):
            out[:, e] += correlate(rows[:, d], taps[:, d, e], mode="same")
    return out + bias


def odds_by_scipy(rows: np.ndarray) -> float:
    net, last, last_bias = parameters("deed_"), arrays()["deed_last"], arrays()["deed_bias"][0]
    hidden = silu(convolved(np.clip((rows[::EVERY][:, COLUMNS] - net.mean) / net.std, -6, 6), *net.layers[0], 1))
    for (weights, bias), dilation in zip(net.layers[1:], DILATIONS, strict=True):
        hidden = hidden + silu(convolved(hidden, weights, bias, dilation))
    pooled = np.concatenate([hidden.mean(0), hidden.max(0), hidden[MIDDLE]])
    return float(pooled @ last + last_bias)


def test_the_network_works_out_what_scipy_does() -> None:
    rows = np.random.default_rng(3).normal(size=(GRID_S.size, INPUTS)).astype(np.float32)
    assert swing_odds(rows[None])[0] == pytest.approx(odds_by_scipy(rows), abs=1e-3)


@views
def test_a_swing_is_one_from_every_side(view: str) -> None:
    assert found(Film(view=view, **ROUGH)) == 1


@views
def test_a_checked_swing_is_none(view: str) -> None:
    assert found(Film(view=view, swings=(Swing(checked=True),), **ROUGH)) == 0


@pytest.mark.parametrize("slow", [2.0, 4.0, 8.0])
def test_a_slowed_film_is_noticed_and_its_speed_proposed(slow: float) -> None:
    film = read(film_swing(Film(slow=slow, fps=60.0 if slow < 4 else 30.0, noise_px=1.0))).film
    assert film.speed_suspect
    assert film.speed_factor is None
    assert film.speed_proposed == slow


def test_a_coachs_speed_is_not_doubted() -> None:
    tracks = film_swing(Film(slow=4.0, noise_px=1.0))
    assert search_swings(tracks, parse_corrections({"speed_factor": 4.0}, tracks.frames)).motion.slowdown == 4.0
    assert read(tracks, {"speed_factor": 4.0}).film.speed_factor == 4.0
