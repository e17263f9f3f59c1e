"""The angle of the bat, from what share of its length points up."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.read.bat_angle import elevation
from analysis.read.perturbations import deviation, steps


def seen(share: float, sd: float) -> tuple[float, float]:
    """Angle and deviation, degrees, where a bat seems to point up with that share of its length."""
    moved = steps("bat length")[:, 0]
    told = elevation(share + sd / deviation(moved) * moved)
    return float(told[0]), deviation(told)


@pytest.mark.parametrize("degrees", [-40.0, 0.0, 30.0, 55.0])
def test_a_bat_seen_well_stands_as_it_is_seen(degrees):
    told, sd = seen(float(np.sin(np.radians(degrees))), 0.01)
    assert told == pytest.approx(degrees, abs=0.1)
    assert sd == pytest.approx(np.degrees(0.01 / np.cos(np.radians(degrees))), rel=0.03)


@pytest.mark.parametrize("share", [0.95, 1.0, 1.1, 1.3])
def test_one_that_seems_longer_than_it_is_stands_steep_and_not_surely_upright(share):
    told, sd = seen(share, 0.08)
    assert 65.0 < told < 90.0
    assert sd > 3.0


@pytest.mark.parametrize("share", [-0.9, 0.2, 0.85, 1.0, 1.08])
def test_it_is_the_mean_of_all_directions_that_would_be_seen_so(share):
    """Against directions drawn at random all around: their heights are spread evenly (Archimedes' hat-box theorem)."""
    draw = np.random.default_rng(8)
    heights = draw.normal(size=(2_000_000, 3))
    heights = heights[:, 1] / np.linalg.norm(heights, axis=1)
    looks = heights + draw.normal(0.0, 0.07, len(heights))
    alike = np.degrees(np.arcsin(heights[np.abs(looks - share) < 0.005]))
    told, sd = seen(share, 0.07)
    assert told == pytest.approx(alike.mean(), abs=0.5)
    assert sd == pytest.approx(alike.std(), rel=0.06)
