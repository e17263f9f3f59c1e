"""The ground under a hitter, where home plate gives it: pixels of the picture become inches on the ground, for angles that a coach
draws there.

`read_plate` tells where the line to the pitcher runs. With that given, an upright camera is fitted to the five corners
(how far it looks down, its focal length, where the plate lies): what is left of errors then hardly grows away from the plate,
while a free mapping of so small a plate would turn a foot beside it by many degrees.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from analysis.read.camera import FOCAL_SHARE
from analysis.read.ground import PLATE_IN, read_plate
from analysis.tracks import Tracks

Array = NDArray[np.float64]

LARGEST_MISS = 0.12  # of the plate's width in the picture, as for the line itself
FOCAL_SD = 0.2  # natural logarithm: how much phones differ
CORNER_SD_PX = 1.5  # a corner placed by hand
TILTS = np.radians([2.0, 8.0, 15.0, 26.0])  # where a fit begins: a phone looks down a little
# Where the line runs on the camera's axes for a right-handed hitter, degrees: 0 = to the right of the picture, 90 = away.
AHEAD = {"chest_side": 0.0, "back_side": 180.0, "catcher_side": 90.0, "pitcher_side": -90.0}


def ground_plane(tracks: Tracks, corrections: dict[str, Any], film: dict[str, Any]) -> list[float] | None:
    """The homography from reference pixels to the ground in inches, nine numbers row by row: x toward the pitcher, y along the
    plate's front edge. None where the line of the result was not read from a plate.
    """
    if film.get("line_source") not in ("coach", "plate"):
        return None
    corners = np.array(corrections.get("plate") or tracks.plate_px, dtype=np.float64)
    size = (float(tracks.clip["width"]), float(tracks.clip["height"]))
    plane = _plane(tuple(map(tuple, corners.tolist())), size, _about(film))
    return list(plane) if plane else None


@lru_cache(maxsize=64)
def _plane(
    plate: tuple[tuple[float, ...], ...], size: tuple[float, float], near: float | None
) -> tuple[float, ...] | None:
    """Cached, because every correction of a clip asks for it again: it takes about 0.1 s."""
    corners = np.array(plate)
    ground = read_plate(corners, size, near)
    if ground is None:
        return None
    corners, start = min(
        (_start(order, size, np.radians(ground.ahead), tilt) for order in _orders(corners) for tilt in TILTS),
        key=lambda begun: begun[2],
    )[:2]
    miss, to_picture = _fit(corners, size, np.radians(ground.ahead), start)
    if miss > LARGEST_MISS * float(np.max(np.ptp(corners, axis=0))):
        return None
    back = np.linalg.inv(to_picture)
    return tuple(float(f"{value:.9g}") for value in (back / np.abs(back).max()).flat)


def _about(film: dict[str, Any]) -> float | None:
    """Where the line runs by view and hand, None where either is not known."""
    ahead = AHEAD.get(film.get("view", ""))
    if ahead is None or film.get("hand") not in ("right", "left"):
        return None
    return 180.0 - ahead if film["hand"] == "left" and film["view"] in ("chest_side", "back_side") else ahead


def _orders(corners: Array) -> list[Array]:
    """A coach may begin at any corner and go around either way."""
    return [np.roll(way, shift, axis=0) for way in (corners, corners[::-1]) for shift in range(5)]


def _start(corners: Array, size: tuple[float, float], yaw: float, tilt: float) -> tuple[Array, Array, float]:
    """The corners, a first pose for them (see `_mapping`), and the sum of its squared misses: with the tilt given, the place of the plate
    follows from linear equations.
    """
    focal = FOCAL_SHARE * max(size)
    rays = (corners - np.array(size) / 2.0) / focal
    onto = _mapping(np.array([tilt, 0.0, 0.0, 0.0, 0.0]), yaw, 1.0, (0.0, 0.0))
    points = np.column_stack([PLATE_IN, np.zeros(5)]) @ onto.T
    left, known = [], []
    for axis in (0, 1):  # ray * (depth + z) = place on the axis + x or y
        row = np.zeros((5, 3))
        row[:, axis], row[:, 2] = 1.0, -rays[:, axis]
        left.append(row)
        known.append(rays[:, axis] * points[:, 2] - points[:, axis])
    place = np.linalg.lstsq(np.concatenate(left), np.concatenate(known), rcond=None)[0]
    pose = np.array([tilt, 0.0, *place])
    return corners, pose, float(np.sum((_seen(_mapping(pose, yaw, focal, size)) - corners) ** 2))


def _fit(corners: Array, size: tuple[float, float], yaw: float, start: Array) -> tuple[float, Array]:
    """The largest miss of a corner, px, and the homography from the plate's inches to the picture."""
    from scipy.optimize import least_squares  # SciPy's parts are loaded by the first who needs them

    focal = FOCAL_SHARE * max(size)
    far = max(abs(float(start[4])), 1.0)

    def misses(pose: Array) -> Array:
        seen = _seen(_mapping(pose, yaw, focal, size))
        return np.append((seen - corners).ravel(), pose[1] / FOCAL_SD * CORNER_SD_PX)

    best = least_squares(misses, start, x_scale=[0.1, 0.1, far, far, far], max_nfev=60)
    made = _mapping(best.x, yaw, focal, size)
    return float(np.max(np.linalg.norm(_seen(made) - corners, axis=1))), made


def _mapping(pose: Array, yaw: float, focal: float, size: tuple[float, float]) -> Array:
    """pose: how far the camera looks down, radians; logarithm of its focal length against the usual one; the plate's tip on the
    camera's axes (x right, y down, z away), inches.
    """
    down, zoom = pose[:2]
    turn = np.array(
        [[1.0, 0.0, 0.0], [0.0, np.cos(down), -np.sin(down)], [0.0, np.sin(down), np.cos(down)]]
    )  # about the axis to the right
    ahead = np.array([np.cos(yaw), 0.0, np.sin(yaw)])
    right = np.cross([0.0, 1.0, 0.0], ahead)
    onto = np.column_stack([turn @ ahead, turn @ right, pose[2:]])
    return np.diag([focal * np.exp(zoom), focal * np.exp(zoom), 1.0]) @ onto + np.outer(
        np.array([size[0] / 2.0, size[1] / 2.0, 0.0]), onto[2]
    )


def _seen(to_picture: Array) -> Array:
    """The plate's corners in the picture; far off where they would lie behind the camera."""
    points = np.column_stack([PLATE_IN, np.ones(5)]) @ to_picture.T
    depth = points[:, 2:]
    return np.where(depth > 1e-3, points[:, :2] / np.where(depth > 1e-3, depth, 1.0), 1e5)
