"""Things that are not the hitter: bat, ball, tee, as plain meshes."""

from __future__ import annotations

import numpy as np

from .meshes import Colour
from .solids import Solid

__all__ = ["BALL_RADIUS", "SWEET_SPOT", "bat_shape", "bat_solid", "tee_solid"]

BALL_RADIUS = 0.0365  # 9 in round (Official Baseball Rules)
SWEET_SPOT = 0.15  # metres from the barrel end


def bat_shape(length: float, thick: float = 0.033) -> tuple[np.ndarray, np.ndarray]:
    """Distance from the knob end [N] and radius [N] of the bat's outline."""
    at = np.array([0.0, 0.0, 0.006, 0.016, 0.024, 0.30, 0.45, 0.60, 0.72, 0.80, 0.96, 0.985, 0.997, 1.0])
    radius = np.array(
        [0.0, 0.020, 0.0245, 0.0225, 0.0135, 0.0128, 0.0165, 0.024, 0.030, thick, thick, 0.029, 0.018, 0.0]
    )
    at = np.concatenate([at[:5], at[5:] * length])
    return at, radius


def bat_solid(knob: np.ndarray, barrel: np.ndarray, colour: Colour, tape: Colour, around: int = 20) -> Solid:
    """The bat from knob end to barrel end, its handle wound with tape."""
    axis = barrel - knob
    length = float(np.linalg.norm(axis))
    axis = axis / length
    side = np.cross(axis, [0.3, 0.5, 0.8])
    side /= np.linalg.norm(side)
    at, radius = bat_shape(length)
    turn = np.linspace(0, 2 * np.pi, around, endpoint=False)
    ring = np.cos(turn)[:, None] * side + np.sin(turn)[:, None] * np.cross(axis, side)
    points = knob + (axis * at[:, None])[:, None] + ring[None] * radius[:, None, None]
    shade = np.where((at < 0.33 * length)[:, None], np.array(tape), np.array(colour))
    colours = np.repeat(shade, around, 0)
    return Solid(points.reshape(-1, 3), tube_faces(len(at), around), colours, 0.35)


def tube_faces(rows: int, around: int) -> np.ndarray:
    """Faces of a grid of rings, wound outward for rings that turn right-handed about the way they follow."""
    i, j = np.meshgrid(np.arange(rows - 1), np.arange(around), indexing="ij")
    a, b = i * around + j, i * around + (j + 1) % around
    c, d = a + around, b + around
    return np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([b, d, c], -1).reshape(-1, 3)])


def tee_solid(ball: np.ndarray) -> Solid:
    """A rubber tee under the ball: foot, stem and cup."""
    height = float(ball[1]) - BALL_RADIUS
    at = np.array([0.0, 0.0, 0.02, 0.03, 0.04, height - 0.06, height - 0.01, height + 0.004])
    radius = np.array([0.0, 0.13, 0.13, 0.05, 0.013, 0.011, 0.019, 0.024])
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    ring = np.stack([np.sin(turn), np.zeros_like(turn), np.cos(turn)], 1)
    points = (
        np.array([ball[0], 0, ball[2]]) + ring[None] * radius[:, None, None] + np.array([0, 1.0, 0]) * at[:, None, None]
    )
    return Solid(points.reshape(-1, 3), tube_faces(len(at), 24), (0.09, 0.09, 0.10), 0.1)
