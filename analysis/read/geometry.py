"""Angles and distances of many draws at once.

Vectors are [S, 3] with the axes of reading: 0 = ahead (along the line, toward the pitcher), 1 = up, 2 =
toward the plate (the way the hitter's chest faces in the stance). For a left-handed hitter the three axes
are mirrored, so that one formula serves both hands. Results are [S]; NaN in, NaN out.
"""

from __future__ import annotations

import numpy as np

from analysis.read.arrays import Array

Samples = Array


def reading_axes(ahead: Samples, up: Samples, hand: str) -> Samples:
    """Matrices [S, 3, 3] taking ray axes (x right, y up, z away) to reading axes (ahead, up, toward the plate).

    ahead  [S] direction of the line seen from above, degrees: 0 = to the right of the picture, 90 = away
    up     [S, 3] unit vector against gravity on ray axes
    """
    right = np.array([1.0, 0.0, 0.0]) - up[:, :1] * up
    right = right / span(right)[:, None]
    away = np.cross(up, -right)
    x, z = (np.asarray(part)[:, None] for part in (np.cos(np.radians(ahead)), np.sin(np.radians(ahead))))
    mirror = 1.0 if hand == "right" else -1.0
    return np.stack([x * right + z * away, up, mirror * (z * right - x * away)], axis=1)


def span(vectors: Samples) -> Samples:
    """Length [...] of each vector [..., 3], in its own unit."""
    return np.asarray(np.linalg.norm(vectors, axis=-1))


def bend(above: Samples, joint: Samples, below: Samples) -> Samples:
    """Bend [...] of a joint between three points [..., 3], degrees 0..180; 0 = they lie on a straight line.

    >>> hip, knee, ankle = np.array([[0, 2, 0.0]]), np.array([[0, 1, 0.0]]), np.array([[1, 1, 0.0]])
    >>> bend(hip, knee, ankle).round(1).tolist()
    [90.0]
    """
    upper, lower = joint - above, below - joint
    # atan2 of cross and dot keeps its precision near 0 and 180, where an arc cosine loses it.
    return np.asarray(np.degrees(np.arctan2(span(np.cross(upper, lower)), np.sum(upper * lower, axis=-1))))


def from_vertical(vectors: Samples) -> Samples:
    """Angle [...] between vectors [..., 3] and straight up, degrees 0..180."""
    return np.asarray(np.degrees(np.arctan2(flat_distance(vectors), vectors[..., 1])))


def heading(vectors: Samples) -> Samples:
    """Direction [...] of vectors [..., 3] seen from above, degrees -180..180; 0 = toward the pitcher, + = turned to the plate side.

    A vector that is straight up or down has none; it is told as 0.
    """
    return np.asarray(np.degrees(np.arctan2(vectors[..., 2], vectors[..., 0])))


def flat_distance(vectors: Samples) -> Samples:
    """Length [...] of vectors [..., 3] seen from above, in their own unit."""
    return np.asarray(np.hypot(vectors[..., 0], vectors[..., 2]))


def distance_to_line(points: Samples, start: Samples, end: Samples) -> Samples:
    """Shortest distance [...] from points [..., 3] to the straight lines through start and end [..., 3], in their own unit.

    NaN where start and end are one point.
    """
    along = end - start
    return np.asarray(span(np.cross(points - start, along)) / span(along))


def turn_between(home: float, angle: float) -> float:
    """Angle from home to angle, degrees in -180..180.

    >>> turn_between(170.0, -170.0)
    20.0
    """
    return float((angle - home + 180.0) % 360.0 - 180.0)
