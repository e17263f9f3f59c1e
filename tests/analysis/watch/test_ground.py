"""Home plate: against views of a plate made with a known camera (OpenCV's projectPoints)."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from analysis.watch.ground import NOT_SEEN, PLATE_IN, as_plate, find_plate


def view_of_plate(turn: float, tilt: float = 0.35, away: float = 260.0) -> np.ndarray:
    """The plate's corners [5, 2] px on a 1280 × 720 picture, turned by `turn` on the ground, seen from `tilt` above it."""
    turned = PLATE_IN - [0, 8.5]
    turned = turned @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    ground = np.column_stack([turned, np.zeros(5)])
    down = np.pi / 2 + tilt  # the camera's axis, from straight up
    rotation = np.array([[1, 0, 0], [0, np.cos(down), -np.sin(down)], [0, np.sin(down), np.cos(down)]])
    camera = np.array([[1200.0, 0, 640], [0, 1200.0, 600], [0, 0, 1]])
    points, _ = cv2.projectPoints(ground, cv2.Rodrigues(rotation)[0], np.array([0.0, 0, away]), camera, None)
    return points.reshape(-1, 2)


def picture_with(corners: np.ndarray) -> np.ndarray:
    """A brown picture with a white shape, drawn finely and shrunk as a camera does."""
    big = np.full((2880, 5120, 3), (120, 80, 50), np.uint8)
    cv2.fillPoly(big, [np.round(corners * 4).astype(np.int32)], (235, 235, 230))
    return cv2.resize(big, (1280, 720), interpolation=cv2.INTER_AREA)


@pytest.mark.parametrize("turn", [0.0, np.pi / 2, -np.pi / 2, 2.0, -0.6])
def test_a_plate_is_found_to_a_pixel_with_its_corners_in_order(turn: float) -> None:
    corners = view_of_plate(turn)
    plate = find_plate(picture_with(corners), 1.0, np.array([640.0, 520.0]), 300.0)
    assert plate.confidence > 0.5
    np.testing.assert_allclose(plate.corners_px, corners, atol=1.5)


def test_full_pixels_come_out_of_a_shrunk_picture() -> None:
    corners = view_of_plate(0.3)
    small = cv2.resize(picture_with(corners), None, fx=0.75, fy=0.75, interpolation=cv2.INTER_AREA)
    plate = find_plate(small, 0.75, np.array([640.0, 520.0]), 300.0)
    np.testing.assert_allclose(plate.corners_px, corners, atol=2.0)


def test_a_bright_square_or_house_of_other_shape_is_no_plate() -> None:
    square = np.array([[600.0, 580], [700, 580], [700, 620], [600, 620]])
    assert find_plate(picture_with(square), 1.0, np.array([640.0, 520.0]), 300.0) is NOT_SEEN
    angle = np.arange(5) * 2 * np.pi / 5
    regular = np.column_stack([650 + 50 * np.cos(angle), 600 + 50 * np.sin(angle)])
    assert as_plate(regular).confidence < 0.5


def test_a_plate_far_from_the_feet_is_another() -> None:
    corners = view_of_plate(0.0)
    assert find_plate(picture_with(corners), 1.0, np.array([100.0, 300.0]), 300.0) is NOT_SEEN


def test_not_seen_is_nan_and_no_confidence() -> None:
    assert np.isnan(NOT_SEEN.corners_px).all()
    assert NOT_SEEN.confidence == 0
