"""The angle of a bat by its two ends in the picture, where more or less of it is known."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.lift.reach_bat import angle, angle_by_depth, points, seen_in
from tests.lift.store import load

SAMPLE = Path(__file__).parent / "data" / "bat-sample.npz"
UP = np.array([0.0, -1.0, 0.0])


@pytest.mark.parametrize("step", [(0.3, -0.5, 0.4), (0.3, -0.5, -0.4), (-0.2, 0.3, 0.3)])
def test_a_bat_whose_length_and_side_in_depth_are_known_is_told_exactly(step: tuple[float, float, float]) -> None:
    knob = np.array([0.3, -0.2, 4.0])
    ends = np.array([knob, knob + step])
    length = float(np.linalg.norm(step))
    told = angle_by_depth(ends[:, :2] / ends[:, 2:], knob[2], length, UP, step[2] > 0)
    assert told == pytest.approx(np.degrees(np.arcsin(-step[1] / length)), abs=1e-6)
    other = angle_by_depth(ends[:, :2] / ends[:, 2:], knob[2], length, UP, step[2] < 0)
    assert abs(other - told) > 1.0


def test_a_bat_in_the_pictures_plane_needs_no_depth() -> None:
    ends = np.array([[0.0, 0.0], [0.1, -0.1]])
    assert angle(ends, 5.0, float(np.hypot(0.5, 0.5)), UP) == pytest.approx(45.0)


def test_what_is_known_of_drawn_bats_brings_their_angle_nearer() -> None:
    bats = [bat for clip in load(SAMPLE) if (bat := seen_in(clip)) is not None]
    assert len(bats) >= 8
    told = {point["known"]: point["told"] for point in points(bats)}
    for group in ("side", "along"):
        found, known = told["ends and length as found"], told["true ends, length and side in depth"]
        if group in found:
            assert known[group] < found[group]
            assert known[group] < 4.0
