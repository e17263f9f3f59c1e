"""Our reading of the pose networks against MediaPipe's own Pose Landmarker on the same pictures."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from analysis.watch.decode import frames
from analysis.watch.detector import Detector, anchors
from analysis.watch.models import find_model
from analysis.watch.pictures import Picture
from analysis.watch.pose import Landmarker, Pose, refined
from analysis.watch.region import Region

pytestmark = pytest.mark.films


@pytest.fixture(scope="module")
def picture(films: list[Path]) -> Picture:
    """A frame of a rendered film in which the hitter stands ready."""
    return next(frame.rgb() for frame in frames(films[0]) if frame.index == 20)


@pytest.fixture(scope="module")
def ours(models_there: None, picture: Picture) -> Pose:
    """Detector and landmark network as watching runs them."""
    height, width = picture.shape[:2]
    model = find_model("full")
    (first, *_) = Detector(model).detect(picture, 1.0, Region(width / 2, height / 2, width))
    return Landmarker(model).read(picture, 1.0, first.region)


def test_the_keypoints_are_mediapipes(ours: Pose, picture: Picture) -> None:
    mediapipe = pytest.importorskip("mediapipe")
    from mediapipe.tasks.python import BaseOptions, vision

    options = vision.PoseLandmarkerOptions(
        base_options=BaseOptions(model_asset_path=str(find_model("full").path)), running_mode=vision.RunningMode.IMAGE
    )
    with vision.PoseLandmarker.create_from_options(options) as landmarker:
        theirs = landmarker.detect(mediapipe.Image(image_format=mediapipe.ImageFormat.SRGB, data=picture))
    size = np.array([picture.shape[1], picture.shape[0]])
    points = np.array([[point.x, point.y] for point in theirs.pose_landmarks[0]]) * size
    world = np.array([[point.x, point.y, point.z] for point in theirs.pose_world_landmarks[0]])
    height = float(np.ptp(points[:, 1]))
    off = np.linalg.norm(points - ours.keypoints_px, axis=1) / height
    # the two look through slightly different regions (theirs from one detection, ours refined): which moves
    # a joint by about 1 % of the height in the picture
    assert np.median(off) < 0.02
    assert np.percentile(off, 90) < 0.03
    assert np.median(np.linalg.norm(world - ours.world_m, axis=1)) < 0.04


def test_a_body_is_read_the_same_wherever_it_is_in_the_picture(ours: Pose, picture: Picture) -> None:
    moved = np.zeros_like(picture)
    moved[:, 100:] = picture[:, :-100]
    region = Region(ours.region.x + 100, ours.region.y, ours.region.side, ours.region.turn)
    landmarker = Landmarker(find_model("full"))
    here, there = landmarker.read(picture, 1.0, ours.region), landmarker.read(moved, 1.0, region)
    np.testing.assert_allclose(there.keypoints_px - [100, 0], here.keypoints_px, atol=1.5)


def test_reading_twice_gives_the_same(ours: Pose, picture: Picture) -> None:
    landmarker = Landmarker(find_model("full"))
    first, second = (landmarker.read(picture, 1.0, ours.region) for _ in range(2))
    np.testing.assert_array_equal(first.keypoints_px, second.keypoints_px)


def test_the_anchors_are_as_many_as_the_networks_boxes() -> None:
    assert anchors(224).shape == (2254, 2)
    assert anchors(224).min() > 0
    assert anchors(224).max() < 1


def test_refining_moves_a_place_to_the_middle_of_its_heat() -> None:
    heat = np.full((64, 64, 2), -20.0, np.float32)
    heat[20:23, 30:33, 0] = 5.0
    places = np.array([[30.5 / 64, 21.5 / 64], [0.5, 0.5]])
    moved = refined(places, heat)
    np.testing.assert_allclose(moved[0], [31 / 64, 21 / 64], atol=1e-4)
    np.testing.assert_array_equal(moved[1], places[1])  # no heat that is sure enough: it stays
    np.testing.assert_array_equal(refined(np.array([[1.5, 0.5]]), heat[:, :, :1]), [[1.5, 0.5]])
