"""Regions: there and back, and what lands where in a cut-out part."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analysis.watch.region import Region, body_region, cut


@pytest.mark.parametrize("turn", [0.0, 0.4, -1.1, np.pi / 2])
def test_points_go_to_the_picture_and_back(turn: float) -> None:
    region = Region(300.0, 200.0, 150.0, turn)
    points = np.array([[0.0, 0.0], [1.0, 0.25], [0.5, 0.5]])
    np.testing.assert_allclose(region.from_picture(region.to_picture(points)), points, atol=1e-12)
    np.testing.assert_allclose(region.to_picture(np.array([0.5, 0.5])), [300.0, 200.0])


def test_a_turn_is_clockwise_in_the_picture_as_scipys_rotation_has_it() -> None:
    region = Region(0.0, 0.0, 1.0, 0.3)
    # y is down in the picture: a clockwise turn there is a positive one about z (SciPy's Rotation).
    expected = Rotation.from_euler("z", 0.3).apply([1.0, 0.0, 0.0])[:2]
    np.testing.assert_allclose(region.turned(np.array([1.0, 0.0])), expected, atol=1e-12)


def test_a_body_region_holds_the_body() -> None:
    region = body_region(np.array([100.0, 200.0]), np.array([100.0, 120.0]))
    assert (region.x, region.y, region.turn) == (100.0, 200.0, 0.0)
    assert region.side == pytest.approx(2 * 80 * 1.25)
    lying = body_region(np.array([100.0, 200.0]), np.array([180.0, 200.0]))
    assert lying.turn == pytest.approx(np.pi / 2)


@pytest.mark.parametrize(("scale", "side"), [(1.0, 64), (0.5, 64), (1.0, 16)])
@pytest.mark.parametrize("turn", [0.0, 0.5])
def test_a_dot_is_cut_out_where_it_belongs(scale: float, side: int, turn: float) -> None:
    full = np.zeros((240, 320, 3), np.uint8)
    dot = np.array([170.0, 110.0])
    full[106:114, 166:174] = 255  # a dot of 8 px around it
    picture = full[:: round(1 / scale), :: round(1 / scale)]
    region = Region(160.0, 120.0, 100.0, turn)
    part = cut(picture, scale, region, side).astype(float).mean(axis=2)
    y, x = np.mgrid[0:side, 0:side] + 0.5
    middle = np.array([(part * x).sum(), (part * y).sum()]) / part.sum() / side
    np.testing.assert_allclose(middle, region.from_picture(dot), atol=0.012)


def test_beyond_the_edge_it_is_black() -> None:
    picture = np.full((50, 50, 3), 200, np.uint8)
    part = cut(picture, 1.0, Region(0.0, 0.0, 40.0), 40)
    assert part[:18, :18].max() == 0
    assert part[25:, 25:].min() == 200
    assert cut(picture, 1.0, Region(-500.0, 0.0, 40.0), 40).max() == 0
