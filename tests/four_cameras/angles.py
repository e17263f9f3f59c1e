"""Angles of one body: as four cameras together see it, as the lift tells it from one of them, as the world landmarks have it.

All on ray axes: x to the right of the picture, y up, z from the camera to the mid-hips (see `analysis.read.lift`). F frames.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from analysis.read.bodies import Bodies, joint
from analysis.read.motion import Motion, clean_motion
from analysis.tracks import KEYPOINTS, load
from tests.lift.samples import to_ray

from .scene import View, cameras, residuals, triangulate

__all__ = ["BENDS", "LINES", "Compared", "all_compared", "bend", "between", "compared", "differences", "reference"]

DATA = Path(__file__).parent / "data"
BENDS = {
    "left knee": ("left_hip", "left_knee", "left_ankle"),
    "right knee": ("right_hip", "right_knee", "right_ankle"),
    "left elbow": ("left_shoulder", "left_elbow", "left_wrist"),
    "right elbow": ("right_shoulder", "right_elbow", "right_wrist"),
}
LINES = {
    "shoulders": ("left_shoulder", "right_shoulder"),
    "hips": ("left_hip", "right_hip"),
    "ankles": ("left_ankle", "right_ankle"),
}
# A line shorter than this share of a metre, seen from above, points nowhere.
SHORTEST_M = 0.1

Joints = Callable[[str], np.ndarray]


@dataclass(frozen=True)
class Compared:
    """Errors in degrees [F] of one camera: `lift` and `world` by what is compared; a line's from above, NaN where it points nowhere."""

    camera: str
    lift: dict[str, np.ndarray]
    world: dict[str, np.ndarray]


def bend(first: np.ndarray, middle: np.ndarray, last: np.ndarray) -> np.ndarray:
    """Flexion [F] in degrees at the middle of three joints [F, 3]: 0 where they lie on a straight line."""
    return between(middle - first, last - middle)


def between(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Angle [F] in degrees between directions [F, D]."""
    cosine = (one * other).sum(axis=-1) / np.linalg.norm(one, axis=-1) / np.linalg.norm(other, axis=-1)
    return np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))


def from_above(line: np.ndarray, up: np.ndarray) -> np.ndarray:
    """A direction [F, 3] on ray axes as seen from above, [F, 2]: to the right of the sight, and along it."""
    away = np.array([0.0, 0.0, 1.0]) - up[:, 2:] * up
    away = away / np.linalg.norm(away, axis=1, keepdims=True)
    return np.stack([(line * np.cross(up, away)).sum(axis=1), (line * away).sum(axis=1)], axis=1)


@lru_cache(maxsize=1)
def reference() -> tuple[list[View], np.ndarray, np.ndarray, list[Motion]]:
    """Cameras, keypoints in space [F, 33, 3] m (NaN where they are none of ours), residuals [C, F, 33] px, and cleaned motions."""
    views = cameras(DATA / "calibration.xml")
    tracks = [load(DATA / f"{view.name}.tracks.npz") for view in views]
    pixels = np.stack([each.keypoints_px for each in tracks]).astype(np.float64)
    seen = np.stack([each.visibility for each in tracks]).astype(np.float64)
    used = sorted(KEYPOINTS.values())
    shape = pixels[0][:, used].shape[:2]
    flat, weight = pixels[:, :, used].reshape(len(views), -1, 2), seen[:, :, used].reshape(len(views), -1)
    found = triangulate(views, flat, weight)
    points, off = np.full((*pixels.shape[1:3], 3), np.nan), np.full(pixels.shape[:3], np.nan)
    points[:, used] = found.reshape(*shape, 3)
    off[:, :, used] = residuals(views, flat, found).reshape(len(views), *shape)
    return views, points, off, [clean_motion(each) for each in tracks]


def all_compared() -> list[Compared]:
    """Every camera by itself against all of them."""
    views, points, _, motions = reference()
    return [compared(view, motion, points) for view, motion in zip(views, motions, strict=True)]


def compared(view: View, motion: Motion, points: np.ndarray) -> Compared:
    """One camera and what was cleaned of it, against keypoints in space [F, 33, 3] m."""
    bodies = Bodies(motion)
    bodies.lift(np.arange(len(motion.times)))
    in_camera = (points - view.place) @ view.rotation.T
    turn = to_ray(in_camera[:, [KEYPOINTS["left_hip"], KEYPOINTS["right_hip"]]].mean(axis=1))
    true = np.einsum("fij,fkj->fki", turn, in_camera)
    up = np.einsum("fij,j->fi", turn, view.rotation @ [0.0, 0.0, 1.0])
    learned = motion.world * [1.0, -1.0, 1.0]
    upright = np.tile([0.0, 1.0, 0.0], (len(true), 1))  # the world landmarks know no other up than the picture's

    def wanted(name: str) -> np.ndarray:
        return true[:, KEYPOINTS[name]]

    return Compared(
        view.name,
        _errors((wanted, up), (lambda name: bodies.places[:, joint(name)], bodies.up)),
        _errors((wanted, up), (lambda name: learned[:, KEYPOINTS[name]], upright)),
    )


def differences(points: np.ndarray, true: np.ndarray) -> dict[str, np.ndarray]:
    """Errors [F] in degrees by what is compared, of keypoints in space against others, both [F, 33, 3] m in the world (z up)."""
    axes = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])  # y up, as ray axes have it
    one, other = points @ axes.T, true @ axes.T
    up = np.tile([0.0, 1.0, 0.0], (len(true), 1))
    return _errors((lambda name: other[:, KEYPOINTS[name]], up), (lambda name: one[:, KEYPOINTS[name]], up))


def _errors(true: tuple[Joints, np.ndarray], told: tuple[Joints, np.ndarray]) -> dict[str, np.ndarray]:
    errors = {}
    for name, joints in BENDS.items():
        errors[name] = np.abs(bend(*(told[0](each) for each in joints)) - bend(*(true[0](each) for each in joints)))
    for name, (left, right) in LINES.items():
        flat = from_above(true[0](right) - true[0](left), true[1])
        off = between(from_above(told[0](right) - told[0](left), told[1]), flat)
        errors[name] = np.where(np.linalg.norm(flat, axis=1) >= SHORTEST_M, off, np.nan)
    return errors
