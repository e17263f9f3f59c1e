"""A square, turned part of the picture: where a network looks, and the way from its pixels back to the picture's."""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from analysis.watch.pictures import Picture, halved

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Region:
    """A square by its middle x, y and its side in full upright pixels, turned clockwise by `turn` radians.

    It may reach beyond the picture.
    """

    x: float
    y: float
    side: float
    turn: float = 0.0

    def to_picture(self, points: Floats) -> Floats:
        """Take points [..., 2] from the region (0..1, origin top left) to full pixels."""
        return np.asarray((points - 0.5) * self.side @ self._axes() + np.array([self.x, self.y]))

    def from_picture(self, points: Floats) -> Floats:
        """Take points [..., 2] from full pixels into the region (0..1)."""
        return np.asarray((points - np.array([self.x, self.y])) @ self._axes().T / self.side + 0.5)

    def turned(self, vectors: Floats) -> Floats:
        """Turn vectors [..., 2] seen in the region into the picture's axes, keeping their length."""
        return np.asarray(vectors @ self._axes())

    def _axes(self) -> Floats:
        cosine, sine = np.cos(self.turn), np.sin(self.turn)
        return np.array([[cosine, sine], [-sine, cosine]])


def body_region(middle: Floats, top: Floats, margin: float = 1.25) -> Region:
    """Return the region of a body from its mid-hips [2] and the point [2] at the top of the circle around it, both px."""
    x, y = top - middle
    return Region(float(middle[0]), float(middle[1]), float(2 * margin * np.hypot(x, y)), float(np.arctan2(x, -y)))


def cut(picture: Picture, scale: float, region: Region, side: int) -> Picture:
    """Cut `region` out of `picture` [H, W, 3] (the frame shrunk by `scale`) as [side, side, 3]; beyond the edge it is black."""
    region = Region(region.x * scale, region.y * scale, region.side * scale, region.turn)
    part, left, top = _around(picture, region)
    halvings = max(
        0, math.ceil(math.log2(max(region.side, 1.0) / side)) - 1
    )  # sampling every third pixel would alias: average first
    if min(part.shape[:2]) < 2**halvings:
        return np.zeros((side, side, 3), np.uint8)
    part, shrink = halved(part, halvings), 0.5**halvings
    corners = (region.to_picture(np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])) - [left, top]) * shrink - 0.5
    target = np.array([[0, 0], [side, 0], [0, side]], dtype=np.float32) - np.float32(0.5)
    matrix = cv2.getAffineTransform(target, corners.astype(np.float32))
    cut_out = cv2.warpAffine(part, matrix, (side, side), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
    return np.asarray(cut_out, dtype=np.uint8)


def _around(picture: Picture, region: Region) -> tuple[Picture, int, int]:
    """Return the upright part of the picture that holds the turned square, and where it begins."""
    reach = region.side / 2 * (abs(np.cos(region.turn)) + abs(np.sin(region.turn))) + 2
    left, top = max(0, int(region.x - reach)), max(0, int(region.y - reach))
    right, bottom = max(left, int(region.x + reach) + 1), max(top, int(region.y + reach) + 1)
    return picture[top:bottom, left:right], left, top
