"""A moving camera is taken out."""

from __future__ import annotations

import numpy as np

from analysis.read.camera import to_steady, usable_camera


def pan(count: int) -> np.ndarray:
    camera = np.tile(np.eye(3), (count, 1, 1))
    camera[:, 0, 2] = np.arange(count) * 3.0
    camera[:, 2, 0] = 1e-5 * np.arange(count)
    return camera


def test_the_way_back_is_by_the_inverse() -> None:
    points = np.random.default_rng(0).uniform(0, 700, (10, 33, 2))
    np.testing.assert_allclose(to_steady(to_steady(points, pan(10)), np.linalg.inv(pan(10))), points, atol=1e-6)


def test_a_pan_moves_points_by_its_way() -> None:
    camera = np.tile(np.eye(3), (4, 1, 1))
    camera[:, 0, 2] = [0.0, 5.0, 10.0, 15.0]
    moved = to_steady(np.ones((4, 1, 2)), camera)
    np.testing.assert_allclose(moved[:, 0, 0], [1.0, 6.0, 11.0, 16.0])


def test_missing_points_stay_missing() -> None:
    points = np.full((3, 2, 2), np.nan)
    assert np.isnan(to_steady(points, pan(3))).all()


def test_a_missing_camera_stands_where_it_last_stood() -> None:
    camera = pan(5)
    camera[0], camera[3] = np.nan, 0.0
    usable = usable_camera(camera)
    np.testing.assert_array_equal(usable[0], np.eye(3))
    np.testing.assert_array_equal(usable[3], camera[2])
