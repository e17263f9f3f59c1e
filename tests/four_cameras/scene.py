"""Calibrated cameras, and points in space from where several of them see them.

World axes: z up, metres. Camera axes: x to the right of the picture, y down, z away.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

import cv2
import numpy as np

__all__ = ["View", "cameras", "project", "residuals", "straightened", "triangulate"]


@dataclass(frozen=True)
class View:
    """A camera: matrix [3, 3] in pixels, lens distortion (k1, k2, p1, p2), axes in the world [3, 3] as rows, place [3]."""

    name: str
    matrix: np.ndarray
    distortion: np.ndarray
    rotation: np.ndarray
    place: np.ndarray

    @property
    def projection(self) -> np.ndarray:
        """[3, 4] from the world to the picture at a distance of one."""
        return self.rotation @ np.hstack([np.eye(3), -self.place[:, None]])


def cameras(path: Path) -> list[View]:
    """The cameras of a calibration file.

    The file counts pictures in 64ths of a pixel and places in millimetres. Its nine numbers, transposed, turn its cameras' axes (x right,
    y up, z toward the viewer) into the world; half a turn about x makes those axes ours.
    """
    views = []
    for entry in ElementTree.parse(path).getroot().iter("camera"):
        turn, inner = entry.find("transform"), entry.find("intrinsic")
        assert turn is not None
        assert inner is not None
        lens = {name: float(value) for name, value in inner.attrib.items()}
        rows = np.array([[float(turn.attrib[f"r{i}{j}"]) for j in (1, 2, 3)] for i in (1, 2, 3)])
        matrix = np.array(
            [
                [lens["focalLengthU"] / 64, 0, lens["centerPointU"] / 64],
                [0, lens["focalLengthV"] / 64, lens["centerPointV"] / 64],
                [0, 0, 1],
            ]
        )
        bent = [lens[f"{name}{n}"] for name in ("radialDistortion", "tangentalDistortion") for n in (1, 2)]
        place = np.array([float(turn.attrib[axis]) for axis in "xyz"]) / 1000
        views.append(View(entry.attrib["serial"], matrix, np.array(bent), np.diag([1.0, -1.0, -1.0]) @ rows, place))
    return views


def straightened(view: View, pixels: np.ndarray) -> np.ndarray:
    """Where points [..., 2] px lie in the picture of a camera without a lens's faults, at a distance of one."""
    flat = pixels.reshape(-1, 1, 2).astype(np.float64)
    return cv2.undistortPoints(flat, view.matrix, view.distortion).reshape(pixels.shape)


def project(view: View, points: np.ndarray) -> np.ndarray:
    """Pixels [..., 2] of points [..., 3] in the world."""
    turned = (points.reshape(-1, 3) - view.place) @ view.rotation.T
    flat, _ = cv2.projectPoints(turned, np.zeros(3), np.zeros(3), view.matrix, view.distortion)
    return flat.reshape(*points.shape[:-1], 2)


def triangulate(views: list[View], pixels: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """Points [N, 3] in the world, seen by C cameras at pixels [C, N, 2], each counted with weights [C, N].

    Linear least squares on the lines of sight (direct linear transformation; Hartley and Zisserman, Multiple View Geometry, 12.2).
    """
    rows = []
    for view, seen, weight in zip(views, pixels, weights, strict=True):
        flat, p = straightened(view, seen), view.projection
        rows += [weight[:, None] * (flat[:, n, None] * p[2] - p[n]) for n in (0, 1)]
    _, _, last = np.linalg.svd(np.stack(rows, axis=1))
    solution = last[:, -1]
    return solution[:, :3] / solution[:, 3:]


def residuals(views: list[View], pixels: np.ndarray, points: np.ndarray) -> np.ndarray:
    """How far [C, N] in pixels the points lie from where each camera saw them."""
    return np.stack(
        [np.linalg.norm(project(view, points) - seen, axis=1) for view, seen in zip(views, pixels, strict=True)]
    )
