"""Search a whole picture for people who stand in it from head to feet, however small, by looking at its parts."""

from __future__ import annotations

import numpy as np

from analysis.watch.decode import Picture
from analysis.watch.pose import Crop, Floats, Landmarker, Pose

LEGS = [23, 24, 25, 26, 27, 28, 29, 30, 31, 32]
TORSO = [11, 12, 23, 24]
TILE_SIDES = (1.0, 0.66)  # of the picture's shorter side
MIN_LEGS_SEEN = 0.5
MIN_BODY_SEEN = 0.5
SAME_PERSON = 0.45  # intersection over union of boxes


def tiles(width: int, height: int) -> list[Crop]:
    """Return overlapping square parts that cover the picture, largest first, in full pixels."""
    found = []
    for share in TILE_SIDES:
        side = share * min(width, height)
        for y in _starts(height, side):
            found.extend(Crop(x, y, side) for x in _starts(width, side))
    return found


def search(picture: Picture, scale: float, landmarker: Landmarker) -> list[Pose]:
    """Find the people whose whole body is in the picture, most visible first, each once."""
    height, width = picture.shape[0] / scale, picture.shape[1] / scale
    seen = landmarker.find(picture, scale)
    for tile in tiles(round(width), round(height)):
        seen.extend(landmarker.find(picture, scale, tile))
    whole = [pose for pose in seen if is_whole(pose, width, height)]
    return once_each(sorted(whole, key=lambda pose: -float(pose.visibility.mean())))


def is_whole(pose: Pose, width: float, height: float) -> bool:
    """Say whether a body is upright, seen down to its feet and inside the picture (a hand may reach out)."""
    if pose.visibility[LEGS].mean() < MIN_LEGS_SEEN or pose.visibility.mean() < MIN_BODY_SEEN:
        return False
    x, y = pose.keypoints_px.T
    inside = (x > -0.02 * width) & (x < 1.02 * width) & (y > -0.02 * height) & (y < 1.02 * height)
    shoulders, hips, ankles = (y[pair].mean() for pair in ([11, 12], [23, 24], [27, 28]))
    return bool(inside[LEGS + TORSO].all() and shoulders < hips < ankles and is_a_body(pose))


def is_a_body(pose: Pose) -> bool:
    """Say whether trunk and legs have a standing body's proportions (wide margins; common practice, no source)."""
    points = pose.keypoints_px
    trunk = float(np.linalg.norm(points[[11, 12]].mean(axis=0) - points[[23, 24]].mean(axis=0)))
    legs = float(np.linalg.norm(points[[27, 28]].mean(axis=0) - points[[23, 24]].mean(axis=0)))
    return 0.6 * trunk < legs < 3.0 * trunk


def once_each(poses: list[Pose]) -> list[Pose]:
    """Drop poses that lie on one earlier in the list."""
    kept: list[Pose] = []
    for pose in poses:
        if all(overlap(pose.box, other.box) < SAME_PERSON for other in kept):
            kept.append(pose)
    return kept


def overlap(a: Floats, b: Floats) -> float:
    """Return the intersection over union of two boxes x0, y0, x1, y1; 0 for boxes without area."""
    width = min(a[2], b[2]) - max(a[0], b[0])
    height = min(a[3], b[3]) - max(a[1], b[1])
    if width <= 0 or height <= 0:
        return 0.0
    shared = width * height
    return float(shared / ((a[2] - a[0]) * (a[3] - a[1]) + (b[2] - b[0]) * (b[3] - b[1]) - shared))


def _starts(length: float, side: float) -> list[float]:
    if length <= side * 1.02:
        return [(length - side) / 2]
    steps = int(np.ceil((length - side) / (0.5 * side)))
    return [float(start) for start in np.linspace(0, length - side, steps + 1)]
