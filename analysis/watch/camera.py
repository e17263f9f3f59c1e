"""Follow the camera: the mapping from each frame's pixels to those of the first, from the still background."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from analysis.watch.pictures import Picture

SIDE = 512  # px of the longer side at which motion is followed, about
MAX_POINTS = 300
MIN_POINTS = 12
RENEW_BELOW = 0.5  # of the points of a key picture
MAX_MISS = 1.5  # px at SIDE: a point further off is not background
STILL_PX = 1.0  # px at SIDE: a camera that never moves further is still

Floats = NDArray[np.float64]
Points = NDArray[np.float32]


class Camera:
    """Takes brightness pictures in frame order and keeps the mapping of each to the first."""

    def __init__(self, scale: float) -> None:
        """`scale` is how far the pictures given are shrunk."""
        self._scale = scale
        self._before: Picture | None = None
        self._key_points: Points = np.zeros((0, 2), np.float32)
        self._points: Points = np.zeros((0, 2), np.float32)
        self._key_to_first = np.eye(3)
        self._started = 0
        self._chain: list[Floats] = []

    def add(self, gray: Picture, people: Sequence[Floats]) -> None:
        """Add the next frame's brightness [H, W], shrunk; `people` are boxes [4] x0, y0, x1, y1 in full pixels, which are no background."""
        if self._before is not None:
            self._follow(self._before, gray)
        to_key = mapping(self._points, self._key_points) if self._before is not None else np.eye(3)
        if to_key is None:  # nothing to hold on to: as the frame before
            to_first = self._chain[-1]
            self._points = np.zeros((0, 2), np.float32)
        else:
            to_first = self._key_to_first @ to_key
        self._chain.append(to_first / to_first[2, 2])
        if len(self._points) < max(MIN_POINTS, RENEW_BELOW * self._started):
            self._renew(gray, people)
        self._before = gray

    def mappings(self) -> Floats:
        """Return [F, 3, 3] from full pixels of each frame to the first's; all identity where the camera stood still."""
        if not self._chain:
            return np.zeros((0, 3, 3))
        small = np.array(self._chain)
        if _farthest(small, self._before) <= STILL_PX:
            return np.tile(np.eye(3), (len(small), 1, 1))
        grow = np.diag([1 / self._scale, 1 / self._scale, 1.0])
        full = grow @ small @ np.linalg.inv(grow)
        return np.asarray(full / full[:, 2:, 2:])

    def _follow(self, before: Picture, gray: Picture) -> None:
        if not len(self._points):
            return
        there, found = _flow(before, gray, self._points)
        back, found_back = _flow(gray, before, there)
        good = found & found_back & (np.linalg.norm(back - self._points, axis=1) < 0.7)
        self._points, self._key_points = there[good], self._key_points[good]

    def _renew(self, gray: Picture, people: Sequence[Floats]) -> None:
        mask = np.full(gray.shape, 255, np.uint8)
        for box in people:
            x0, y0, x1, y1 = _grown(box * self._scale, gray.shape)
            mask[y0:y1, x0:x1] = 0
        points = cv2.goodFeaturesToTrack(gray, MAX_POINTS, 0.01, 6, mask=mask)
        self._points = np.zeros((0, 2), np.float32) if points is None else points.reshape(-1, 2).astype(np.float32)
        self._key_points, self._started = self._points.copy(), len(self._points)
        self._key_to_first = self._chain[-1]


def mapping(here: Points, there: Points) -> Floats | None:
    """Return the homography from points `here` [N, 2] to `there`, or None where too few agree.

    With few points it is only shifted, turned and grown: a full homography would bend on their noise.
    """
    if len(here) < MIN_POINTS:
        return None
    plain, agreed = cv2.estimateAffinePartial2D(here, there, method=cv2.RANSAC, ransacReprojThreshold=MAX_MISS)
    if plain is None or int(agreed.sum()) < MIN_POINTS:
        return None
    simple = np.vstack([plain, [0.0, 0.0, 1.0]])
    full, within = cv2.findHomography(here, there, cv2.RANSAC, MAX_MISS)
    if full is None or int(within.sum()) < max(40, 1.15 * int(agreed.sum())):
        return np.asarray(simple, dtype=np.float64)
    return np.asarray(full, dtype=np.float64)


def _flow(here: Picture, there: Picture, points: Points) -> tuple[Points, NDArray[np.bool_]]:
    moved, found, _ = cv2.calcOpticalFlowPyrLK(here, there, points, points.copy(), winSize=(15, 15), maxLevel=3)
    return np.asarray(moved, dtype=np.float32), np.asarray(found).ravel() == 1


def _grown(box: Floats, shape: tuple[int, ...]) -> tuple[int, int, int, int]:
    x0, y0, x1, y1 = box
    reach = 0.35 * (y1 - y0)  # the bat and the swinging arms
    left, top = max(0, int(x0 - reach)), max(0, int(y0 - reach))
    return left, top, min(shape[1], int(x1 + reach) + 1), min(shape[0], int(y1 + 0.08 * reach) + 1)


def _farthest(mappings: Floats, picture: Picture | None) -> float:
    height, width = picture.shape if picture is not None else (1, 1)
    corners = np.array([[0, 0, 1], [width, 0, 1], [0, height, 1], [width, height, 1]], dtype=np.float64)
    moved = mappings @ corners.T
    moved = moved[:, :2] / moved[:, 2:]
    return float(np.percentile(np.abs(moved - corners.T[:2]).max(axis=(1, 2)), 98))
