"""A phone on a stand or in a hand: where a point of the field falls in the picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

__all__ = ["Camera", "look_at"]


@dataclass(frozen=True)
class Camera:
    """Pinhole: a field point p (metres, [3]) has camera coordinates R p + t (x right, y down, z ahead) and pixels K (R p + t)."""

    matrix: np.ndarray  # K, [3,3], pixels; origin at the top left corner of the top left pixel
    rotation: np.ndarray  # R, [3,3]
    place: np.ndarray  # centre of the lens in the field, [3]
    size: tuple[int, int]  # width, height

    @property
    def shift(self) -> np.ndarray:
        """t = -R place, [3]."""
        return -self.rotation @ self.place

    def project(self, points: np.ndarray) -> np.ndarray:
        """Pixels [..., 2] of field points [..., 3]."""
        seen = points @ self.rotation.T + self.shift
        flat = seen @ self.matrix.T
        return flat[..., :2] / flat[..., 2:]

    def rays(self, pixels: np.ndarray) -> np.ndarray:
        """Directions [..., 3] in the field, not normalised, of pixels [..., 2]."""
        whole = np.concatenate([pixels, np.ones((*pixels.shape[:-1], 1))], -1)
        return whole @ np.linalg.inv(self.matrix).T @ self.rotation


def look_at(
    place: tuple[float, float, float],
    at: tuple[float, float, float],
    angle: float,
    size: tuple[int, int],
    roll: float = 0.0,
) -> Camera:
    """Camera at ``place`` looking ``at`` a point; ``angle`` is the horizontal field of view in degrees, ``roll`` tilts the picture."""
    start, end = np.array(place, float), np.array(at, float)
    ahead = (end - start) / np.linalg.norm(end - start)
    right = np.cross(ahead, [0, 1, 0])
    right /= np.linalg.norm(right)
    down = np.cross(ahead, right)
    c, s = np.cos(np.radians(roll)), np.sin(np.radians(roll))
    rotation = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]) @ np.stack([right, down, ahead])
    width, height = size
    focal = width / 2 / np.tan(np.radians(angle) / 2)
    return Camera(np.array([[focal, 0, width / 2], [0, focal, height / 2], [0, 0, 1.0]]), rotation, start, size)
