"""Cameras and triangulation: by hand, against OpenCV, and on the films themselves."""

from __future__ import annotations

from itertools import pairwise

import cv2
import numpy as np
import pytest

from analysis.tracks import KEYPOINTS

from .angles import BENDS, bend, between, from_above, reference
from .scene import View, project, triangulate

NO_LENS = np.zeros(4)


def looking_north(place: tuple[float, float, float]) -> View:
    """A camera that looks along +y, upright: x of the picture is east, its y is down."""
    rotation = np.array([[1.0, 0, 0], [0, 0, -1.0], [0, 1.0, 0]])
    return View("north", np.array([[1000.0, 0, 500], [0, 1000.0, 500], [0, 0, 1]]), NO_LENS, rotation, np.array(place))


def test_a_point_ahead_and_above_is_where_it_is_by_hand() -> None:
    # Ten metres ahead, one to the right, two up: 1000 px of focal length make 100 px a metre.
    seen = project(looking_north((0, 0, 0)), np.array([[1.0, 10.0, 2.0]]))
    assert seen[0] == pytest.approx([600.0, 300.0])


def test_two_sights_by_hand_meet_in_the_point() -> None:
    views = [looking_north((0, 0, 0)), looking_north((2.0, 0, 0))]
    pixels = np.array([[[600.0, 300.0]], [[400.0, 300.0]]])
    assert triangulate(views, pixels, np.ones((2, 1)))[0] == pytest.approx([1.0, 10.0, 2.0])


def test_two_cameras_give_what_opencv_gives() -> None:
    """`cv2.triangulatePoints` solves the same equations, unweighted; here with noise, so that the sights do not meet."""
    views = reference()[0][:2]
    rng = np.random.default_rng(3)
    points = rng.normal([-1.0, 0.0, 1.0], 0.3, (20, 3))
    pixels = np.stack([project(view, points) + rng.normal(0, 5, (20, 2)) for view in views])
    flat = [cv2.undistortPoints(p[:, None], v.matrix, v.distortion)[:, 0] for v, p in zip(views, pixels, strict=True)]
    theirs = cv2.triangulatePoints(views[0].projection, views[1].projection, flat[0].T, flat[1].T)
    ours = triangulate(views, pixels, np.ones((2, 20)))
    assert ours == pytest.approx((theirs[:3] / theirs[3]).T, abs=1e-6)


def test_a_camera_that_hardly_sees_hardly_counts() -> None:
    views = reference()[0]
    point = np.array([[-1.0, 0.1, 1.2]])
    pixels = np.stack([project(view, point) for view in views])
    pixels[2] += 80.0
    alike = triangulate(views, pixels, np.ones((4, 1)))
    weighted = triangulate(views, pixels, np.array([[1.0], [1.0], [0.02], [1.0]]))
    assert np.linalg.norm(weighted - point) < 0.001 < 0.05 < np.linalg.norm(alike - point)


def test_the_four_cameras_agree_about_where_the_keypoints_are() -> None:
    off = reference()[2]
    assert np.nanmedian(off) < 13.0  # a person is about 900 px tall: seven pixels are a centimetre and a half
    assert np.nanmedian(off, axis=(1, 2)).max() < 17.0


def test_the_bones_of_the_triangulated_body_keep_their_length() -> None:
    points = reference()[1]
    for joints in BENDS.values():
        for first, second in pairwise(joints):
            length = np.linalg.norm(points[:, KEYPOINTS[first]] - points[:, KEYPOINTS[second]], axis=1)
            assert 0.2 < length.mean() < 0.45
            assert length.std() / length.mean() < 0.06


def test_a_right_angle_and_a_straight_limb() -> None:
    hip, knee = np.array([[0.0, 1.0, 0.0]]), np.array([[0.0, 0.0, 0.0]])
    assert bend(hip, knee, np.array([[0.0, -1.0, 0.0]])) == pytest.approx(0.0, abs=1e-6)
    assert bend(hip, knee, np.array([[1.0, 0.0, 0.0]])) == pytest.approx(90.0)


def test_a_line_seen_from_above_forgets_what_rises() -> None:
    level = np.array([[0.0, 1.0, 0.0]])
    assert from_above(np.array([[3.0, 7.0, 4.0]]), level)[0] == pytest.approx([3.0, 4.0])
    # A camera that looks down by 30 degrees: up leans toward it, and what lies level ahead goes away and up in its picture.
    tilted = np.array([[0.0, np.cos(np.pi / 6), -np.sin(np.pi / 6)]])
    ahead = np.array([[0.0, np.sin(np.pi / 6), np.cos(np.pi / 6)]])
    assert from_above(2.0 * ahead, tilted)[0] == pytest.approx([0.0, 2.0])
    assert between(np.array([[1.0, 0.0]]), np.array([[1.0, 1.0]]))[0] == pytest.approx(45.0)
