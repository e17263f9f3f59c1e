"""Rotations as matrices, and the joint between two bones."""

from __future__ import annotations

import math

import numpy as np

__all__ = ["UP", "about", "blend", "cross", "frame_of", "shortest", "turn", "two_bones", "unit"]

UP = np.array([0.0, 1.0, 0.0])


def unit(v: np.ndarray) -> np.ndarray:
    """``v`` made one long."""
    return v / np.sqrt(v @ v)


def cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Cross product of two vectors [3]; NumPy's own is made for stacks of them and takes ten times as long."""
    return np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def turn(degrees: float, axis: str) -> np.ndarray:
    """Rotation matrix about a world axis, right-hand rule."""
    return about(np.eye(3)["xyz".index(axis)] * np.radians(degrees))


def about(vector: np.ndarray) -> np.ndarray:
    """Rotation matrix of a rotation vector in radians (Rodrigues)."""
    x, y, z = (float(part) for part in vector)
    angle = math.sqrt(x * x + y * y + z * z)
    if angle < 1e-12:
        return np.eye(3)
    x, y, z, sine, cosine = x / angle, y / angle, z / angle, math.sin(angle), math.cos(angle)
    rest = 1.0 - cosine
    return np.array(
        [
            [cosine + x * x * rest, x * y * rest - z * sine, x * z * rest + y * sine],
            [y * x * rest + z * sine, cosine + y * y * rest, y * z * rest - x * sine],
            [z * x * rest - y * sine, z * y * rest + x * sine, cosine + z * z * rest],
        ]
    )


def blend(first: np.ndarray, second: np.ndarray, share: float) -> np.ndarray:
    """The rotation ``share`` (0..1) of the way from the first to the second; they differ by less than half a turn."""
    step = first.T @ second
    spin = np.array([step[2, 1] - step[1, 2], step[0, 2] - step[2, 0], step[1, 0] - step[0, 1]]) / 2
    sine = float(np.sqrt(spin @ spin))
    if sine < 1e-9:
        return second if share > 0.5 else first
    return first @ about(spin / sine * np.arctan2(sine, (np.trace(step) - 1) / 2) * share)


def shortest(start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """The smallest rotation that takes the direction ``start`` to ``end``."""
    axis = cross(start, end)
    sine = float(np.sqrt(axis @ axis))
    return np.eye(3) if sine < 1e-9 else about(axis / sine * np.arctan2(sine, start @ end))


def frame_of(along: np.ndarray, toward: np.ndarray) -> np.ndarray:
    """Right-handed frame, columns: ``along``, the part of ``toward`` at right angles to it, their cross product."""
    a = unit(along)
    b = unit(toward - a * (a @ toward))
    return np.stack([a, b, cross(a, b)], 1)


def two_bones(start: np.ndarray, end: np.ndarray, first: float, second: float, pole: np.ndarray) -> np.ndarray:
    """The joint between two bones of the given lengths that span ``start`` to ``end``, on the side of ``pole``.

    Where the span is longer than both bones the joint lies on the straight line.
    """
    line = end - start
    span = float(np.clip(np.linalg.norm(line), abs(first - second) + 1e-6, first + second - 1e-6))
    along = unit(line)
    near = (first**2 - second**2 + span**2) / (2 * span)
    side = pole - along * (along @ pole)
    return start + along * near + unit(side) * np.sqrt(max(0.0, first**2 - near**2))
