"""Find people and their 33 keypoints in a picture, or in a square part of it, with MediaPipe's Pose Landmarker."""

from __future__ import annotations

from dataclasses import dataclass
from types import TracebackType
from typing import Any, Self

import cv2
import mediapipe
import numpy as np
from mediapipe.tasks.python import BaseOptions, vision
from numpy.typing import NDArray

from analysis.watch.decode import Picture
from analysis.watch.models import Model

Floats = NDArray[np.float64]
CROP_SIDE = 448  # px: a crop holds the hitter in about 60 % of it, and the network looks at 256


@dataclass(frozen=True)
class Crop:
    """A square part of the picture in full upright pixels; it may reach beyond the picture's edge."""

    x: float
    y: float
    side: float


@dataclass(frozen=True)
class Pose:
    """One person seen: keypoints [33, 2] in full upright pixels, visibility [33], world metres [33, 3]."""

    keypoints_px: Floats
    visibility: Floats
    world_m: Floats

    @property
    def box(self) -> Floats:
        """Return x0, y0, x1, y1 around all keypoints."""
        return np.concatenate([self.keypoints_px.min(axis=0), self.keypoints_px.max(axis=0)])


class Landmarker:
    """A pose network, run on single pictures: nothing is remembered, so nothing is smoothed and nothing lags."""

    def __init__(self, model: Model, people: int = 1, confidence: float = 0.3) -> None:
        """Load `model`; find at most `people`, each at least `confidence` sure."""
        options = vision.PoseLandmarkerOptions(
            base_options=BaseOptions(model_asset_path=str(model.path)),
            running_mode=vision.RunningMode.IMAGE,
            num_poses=people,
            min_pose_detection_confidence=confidence,
            min_pose_presence_confidence=confidence,
        )
        self._network = vision.PoseLandmarker.create_from_options(options)

    def __enter__(self) -> Self:
        """Return the loaded network."""
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        """Free the network."""
        self._network.close()

    def find(self, picture: Picture, scale: float = 1.0, crop: Crop | None = None) -> list[Pose]:
        """Find people in `picture`, or in its part `crop`.

        picture  uint8 [H, W, 3], the upright frame shrunk by `scale`
        crop     in full pixels
        """
        if crop is None:
            crop, part = Crop(0.0, 0.0, 0.0), picture
            size = np.array([picture.shape[1] / scale, picture.shape[0] / scale])
        else:
            part = cut(picture, scale, crop)
            size = np.array([crop.side, crop.side])
        image = mediapipe.Image(image_format=mediapipe.ImageFormat.SRGB, data=np.ascontiguousarray(part))
        found = self._network.detect(image)
        corner = np.array([crop.x, crop.y])
        return [
            _pose(points, world, corner, size)
            for points, world in zip(found.pose_landmarks, found.pose_world_landmarks, strict=True)
        ]


def cut(picture: Picture, scale: float, crop: Crop, side: int = CROP_SIDE) -> Picture:
    """Cut `crop` out of `picture` (shrunk by `scale`) and bring it to `side` pixels; beyond the edge it is grey."""
    zoom = side / (crop.side * scale)
    if zoom < 0.7:  # warpAffine does not average, so a strong shrinking would alias
        return _cut_by_slices(picture, scale, crop, side)
    matrix = np.array([[zoom, 0.0, -crop.x * scale * zoom], [0.0, zoom, -crop.y * scale * zoom]])
    part = cv2.warpAffine(picture, matrix, (side, side), flags=cv2.INTER_LINEAR, borderValue=(114, 114, 114))
    return np.asarray(part, dtype=np.uint8)


def _cut_by_slices(picture: Picture, scale: float, crop: Crop, side: int) -> Picture:
    x0, y0 = round(crop.x * scale), round(crop.y * scale)
    length = max(2, round(crop.side * scale))
    part = np.full((length, length, 3), 114, dtype=np.uint8)
    height, width = picture.shape[:2]
    left, top, right, bottom = max(0, x0), max(0, y0), min(width, x0 + length), min(height, y0 + length)
    if right > left and bottom > top:
        part[top - y0 : bottom - y0, left - x0 : right - x0] = picture[top:bottom, left:right]
    return np.asarray(cv2.resize(part, (side, side), interpolation=cv2.INTER_AREA), dtype=np.uint8)


def _pose(points: Any, world: Any, corner: Floats, size: Floats) -> Pose:
    return Pose(
        np.array([[p.x, p.y] for p in points]) * size + corner,
        np.array([p.visibility for p in points], dtype=np.float64),
        np.array([[p.x, p.y, p.z] for p in world]),
    )
