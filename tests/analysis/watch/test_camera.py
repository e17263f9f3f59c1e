"""The camera's motion: against warps that are known because the test made them (OpenCV's warpPerspective)."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from analysis.watch.background import Background
from analysis.watch.camera import Camera, mapping


def scene(width: int = 480, height: int = 320, seed: int = 5) -> np.ndarray:
    """A textured still background."""
    rough = np.random.default_rng(seed).integers(0, 255, (height // 8, width // 8), np.uint8)
    return cv2.GaussianBlur(cv2.resize(rough, (width, height), interpolation=cv2.INTER_CUBIC), (0, 0), 1.5)


def seen(big: np.ndarray, to_big: np.ndarray, size: tuple[int, int]) -> np.ndarray:
    """What a camera sees whose pixels map to those of `big` by `to_big`."""
    return cv2.warpPerspective(big, np.linalg.inv(to_big), size)


def off(found: np.ndarray, expected: np.ndarray, size: tuple[int, int]) -> float:
    """The greatest distance, px, of corners brought to the first frame by both mappings."""
    corners = np.array([[0, 0, 1], [size[0], 0, 1], [0, size[1], 1], [*size, 1]], float).T
    a, b = found @ corners, expected @ corners
    return float(np.abs(a[:2] / a[2] - b[:2] / b[2]).max())


def test_a_pan_with_a_turn_is_followed_through_new_ground() -> None:
    big, size = scene(1200, 600), (400, 300)
    camera, truth = Camera(1.0), []
    for step in range(40):
        angle, x = 0.002 * step, 6.0 * step
        to_big = np.array([[np.cos(angle), -np.sin(angle), 100 + x], [np.sin(angle), np.cos(angle), 150], [0, 0, 1]])
        truth.append(to_big)
        camera.add(seen(big, to_big, size), [])
    found = camera.mappings()
    for step in (5, 20, 39):
        assert off(found[step], np.linalg.inv(truth[0]) @ truth[step], size) < 3.0


def test_a_moving_person_is_not_the_background() -> None:
    big, size = scene(600, 400), (400, 300)
    body = scene(120, 220, seed=9)
    camera = Camera(1.0)
    for step in range(25):
        picture = seen(big, np.array([[1, 0, 50.0 + 2 * step], [0, 1, 40], [0, 0, 1]]), size)
        x = 100 + 6 * step
        picture[60:280, x : x + 120] = body[:, : max(0, size[0] - x)]
        camera.add(picture, [np.array([x, 60.0, x + 120, 280])])
    shifts = camera.mappings()[:, 0, 2]
    np.testing.assert_allclose(shifts, 2.0 * np.arange(25), atol=1.5)


def test_a_still_camera_is_exactly_still() -> None:
    rng = np.random.default_rng(2)
    camera, picture = Camera(0.5), scene()
    for _ in range(10):
        grain = rng.normal(0, 3, picture.shape)
        camera.add(np.clip(picture + grain, 0, 255).astype(np.uint8), [])
    np.testing.assert_array_equal(camera.mappings(), np.tile(np.eye(3), (10, 1, 1)))


def test_mappings_are_in_full_pixels() -> None:
    big, size, camera = scene(900, 500), (400, 300), Camera(0.25)
    for step in range(12):
        camera.add(seen(big, np.array([[1, 0, 5.0 * step], [0, 1, 0], [0, 0, 1]]), size), [])
    assert camera.mappings()[-1][0, 2] == pytest.approx(55 / 0.25, abs=4)


def test_too_few_points_map_nothing() -> None:
    few = np.zeros((5, 2), np.float32)
    assert mapping(few, few) is None


def test_a_blank_picture_does_not_stop_it() -> None:
    camera = Camera(1.0)
    for _ in range(4):
        camera.add(np.zeros((100, 120), np.uint8), [])
    assert camera.mappings().shape == (4, 3, 3)


def places(columns: range, rows: range) -> np.ndarray:
    return np.stack(np.meshgrid(np.array(columns), np.array(rows)), axis=-1).astype(float)


def test_the_background_is_what_stays() -> None:
    still = np.dstack([scene(120, 90)] * 3)
    background = Background(0.5)
    for step in range(60):
        picture = still.copy()
        picture[20:70, 2 * step : 2 * step + 8] = 255
        background.add(picture if background.wants() else None)
    found = background.backdrop(np.tile(np.eye(3), (60, 1, 1)))
    assert found is not None
    part = still[10:74, 20:84]  # full pixels are twice these
    behind = found.at(2 * places(range(20, 84), range(10, 74)))
    assert np.median(np.abs(behind - part)) <= 1


def test_the_background_is_followed_through_a_pan_and_unknown_beyond_it() -> None:
    big, size = np.dstack([scene(600, 240)] * 3), (320, 200)
    background, camera = Background(1.0), np.tile(np.eye(3), (40, 1, 1))
    for step in range(40):
        camera[step, 0, 2] = 4.0 * step
        picture = big[20 : 20 + size[1], 4 * step : 4 * step + size[0]].copy()
        picture[50:150, 8 * step % 280 : 8 * step % 280 + 12] = 255
        background.add(picture if background.wants() else None)
    found = background.backdrop(camera)
    assert found is not None
    last = big[20:220, 156:476]
    part = last[50:150, 100:200]
    behind = found.at(places(range(100, 200), range(50, 150)) + camera[39, :2, 2])
    assert np.median(np.abs(behind - part)) <= 2
    assert np.isnan(found.at(places(range(100, 200), range(850, 950)))).all()


def test_too_few_pictures_make_no_background() -> None:
    background = Background(1.0)
    background.add(np.zeros((20, 20, 3), np.uint8))
    assert background.backdrop(np.eye(3)[None]) is None
