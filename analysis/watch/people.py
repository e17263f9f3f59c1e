"""Search a whole picture for people who stand in it from head to feet, however small, by looking at its parts."""

from __future__ import annotations

import numpy as np

from analysis.watch.detector import Detection, Detector, same_place
from analysis.watch.pictures import Picture
from analysis.watch.pose import LEGS, TORSO, Landmarker, Pose
from analysis.watch.region import Floats, Region

TILE_SIDES = (1.0, 0.62)  # of the picture's shorter side
MIN_PRESENCE = 0.5
MIN_LEGS_SEEN = 0.5
MIN_BODY_SEEN = 0.5
SAME_PERSON = 0.45  # intersection over union of boxes
MAX_READ = 8  # detections read per picture, surest first


def tiles(width: int, height: int, *, small: bool = True) -> list[Region]:
    """Return the whole picture and overlapping square parts that cover it, largest first, in full pixels.

    Without `small`, the finest parts are left out.
    """
    found = [Region(width / 2, height / 2, float(max(width, height)))]
    for share in TILE_SIDES if small else TILE_SIDES[:1]:
        side = share * min(width, height)
        for y in _middles(height, side):
            found.extend(Region(x, y, side) for x in _middles(width, side))
    return found


def search(
    picture: Picture, scale: float, detector: Detector, landmarker: Landmarker, *, small: bool = True
) -> list[Pose]:
    """Find the people whose whole body is in the picture [H, W, 3], RGB, shrunk by `scale`, most visible first, each once."""
    height, width = picture.shape[0] / scale, picture.shape[1] / scale
    detections: list[Detection] = []
    for tile in tiles(round(width), round(height), small=small):
        for new in detector.detect(picture, scale, tile):
            if all(not same_place(new.region, old.region) for old in detections):
                detections.append(new)
    surest = sorted(detections, key=lambda detection: -detection.score)[:MAX_READ]
    seen = [landmarker.read(picture, scale, detection.region) for detection in surest]
    whole = [pose for pose in seen if is_whole(pose, width, height)]
    return once_each(sorted(whole, key=lambda pose: -float(pose.visibility.mean())))


def is_whole(pose: Pose, width: float, height: float) -> bool:
    """Say whether a body is upright, seen down to its feet and inside the picture (a hand may reach out)."""
    if pose.presence < MIN_PRESENCE or pose.visibility[LEGS].mean() < MIN_LEGS_SEEN:
        return False
    x, y = pose.keypoints_px.T
    inside = (x > -0.02 * width) & (x < 1.02 * width) & (y > -0.02 * height) & (y < 1.02 * height)
    return bool(pose.visibility.mean() >= MIN_BODY_SEEN and inside[LEGS + TORSO].all() and is_standing(pose))


def is_standing(pose: Pose) -> bool:
    """Say whether trunk and legs stand one above the other in a body's proportions (wide margins; no source)."""
    points = pose.keypoints_px
    shoulders, hips, ankles = (points[pair].mean(axis=0) for pair in ([11, 12], [23, 24], [27, 28]))
    trunk, legs = float(np.linalg.norm(shoulders - hips)), float(np.linalg.norm(ankles - hips))
    return bool(shoulders[1] < hips[1] < ankles[1] and 0.6 * trunk < legs < 3.0 * trunk)


def once_each(poses: list[Pose]) -> list[Pose]:
    """Drop poses that lie on one earlier in the list."""
    kept: list[Pose] = []
    for pose in poses:
        if all(overlap(pose.box, other.box) < SAME_PERSON for other in kept):
            kept.append(pose)
    return kept


def overlap(a: Floats, b: Floats) -> float:
    """Return the intersection over union of two boxes [4] x0, y0, x1, y1; 0 for boxes without area."""
    width = min(a[2], b[2]) - max(a[0], b[0])
    height = min(a[3], b[3]) - max(a[1], b[1])
    if width <= 0 or height <= 0:
        return 0.0
    shared = width * height
    return float(shared / ((a[2] - a[0]) * (a[3] - a[1]) + (b[2] - b[0]) * (b[3] - b[1]) - shared))


def _middles(length: float, side: float) -> list[float]:
    if length <= side * 1.02:
        return [length / 2]
    steps = int(np.ceil((length - side) / (0.5 * side)))
    return [float(start) + side / 2 for start in np.linspace(0, length - side, steps + 1)]
