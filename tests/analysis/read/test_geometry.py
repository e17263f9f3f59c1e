"""Angles against SciPy's Rotation: a limb turned by a known rotation bends by exactly that angle."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from analysis.read.geometry import bend, distance_to_line, flat_distance, from_vertical, heading

angles = st.floats(0.0, 179.0)
seeds = st.integers(0, 10_000)


@given(angle=angles, seed=seeds)
def test_a_joint_bends_by_the_angle_it_was_turned(angle: float, seed: int) -> None:
    rng = np.random.default_rng(seed)
    upper = rng.normal(size=3)
    axis = np.cross(upper, rng.normal(size=3))
    turn = Rotation.from_rotvec(np.radians(angle) * axis / np.linalg.norm(axis))
    joint = rng.normal(size=3)
    lower = turn.apply(upper) * rng.uniform(0.5, 2.0)
    got = bend((joint - upper)[None], joint[None], (joint + lower)[None])
    assert got[0] == pytest.approx(angle, abs=1e-5)


@given(angle=angles, seed=seeds)
def test_leaning_is_the_turn_away_from_up(angle: float, seed: int) -> None:
    about = np.random.default_rng(seed).uniform(0.0, 2 * np.pi)
    turn = Rotation.from_rotvec(np.radians(angle) * np.array([np.cos(about), 0.0, np.sin(about)]))
    assert from_vertical(turn.apply([[0.0, 1.7, 0.0]]))[0] == pytest.approx(angle, abs=1e-6)


@given(angle=st.floats(-179.0, 179.0), rise=st.floats(-5.0, 5.0))
def test_a_heading_is_the_turn_about_the_vertical(angle: float, rise: float) -> None:
    # Ahead turned toward the plate side is a turn about "up" in the negative sense, for plate = ahead x up.
    turn = Rotation.from_euler("y", -angle, degrees=True)
    vector = turn.apply([1.3, 0.0, 0.0]) + np.array([0.0, rise, 0.0])
    assert heading(vector[None])[0] == pytest.approx(angle, abs=1e-6)


def test_a_distance_to_a_line_ignores_where_on_the_line() -> None:
    start, end = np.array([[0.0, 0.0, 0.0]]), np.array([[0.0, 2.0, 0.0]])
    for height in (-1.0, 0.3, 5.0):
        assert distance_to_line(np.array([[3.0, height, 4.0]]), start, end)[0] == pytest.approx(5.0)


def test_a_flat_distance_leaves_height_out() -> None:
    assert flat_distance(np.array([[3.0, 99.0, 4.0]]))[0] == pytest.approx(5.0)


def test_what_was_not_seen_stays_unknown() -> None:
    nothing, point = np.full((1, 3), np.nan), np.ones((1, 3))
    assert np.isnan(bend(nothing, point, 2 * point)[0])
    assert np.isnan(from_vertical(nothing)[0])
    assert np.isnan(heading(nothing)[0])
