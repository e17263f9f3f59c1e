"""Home plate as a ruler on the ground: where the line to the pitcher runs, seen from this camera, and what place of the ground a pixel
shows.

The plate's shape is fixed by the Official Baseball Rules: front edge 17 in, sides 8.5 in, back edges 12 in. A camera that stands
nearly upright and has about a phone's focal length is fitted to its five corners in the picture, which bears misplaced corners
far better than a free mapping of the ground plane. How far the line may turn follows from the fit: a plate small in the picture
tells little.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import scipy

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.geometry import turn_between

__all__ = ["PLATE_IN", "Ground", "read_plate"]


# Corners in inches: ahead, and to the right seen by the catcher; the tip first, then around by the right.
PLATE_IN: Final = np.array([[0.0, 0.0], [8.5, 8.5], [17.0, 8.5], [17.0, -8.5], [8.5, -8.5]])
_PLATE: Final = np.column_stack([PLATE_IN, np.ones(5)])

TILTS: Final = np.radians([2.0, 5.0, 8.0, 11.0, 15.0, 20.0, 26.0, 33.0, 42.0])  # a phone looks down a little


@dataclass(frozen=True)
class Ground:
    """What the plate tells.

    ahead    direction of the line on the camera's axes, degrees: 0 = to the right of the picture, 90 = away
    sd       its deviation, degrees
    plane    [3, 3] homography from the picture, px, to the ground, inches from the plate's tip: ahead, and to the right seen by the
             catcher
    """

    ahead: float
    sd: float
    plane: Array


def read_plate(corners: Array, size: tuple[float, float], near: float | None = None) -> Ground | None:
    """What the plate's corners [5, 2] in the picture tell; None where there is no believable plate.

    The corners may start anywhere and go around either way. size is the picture's width and height, px; near is where the line
    runs by what else is known, degrees: of ways around a small plate that fit alike, the one closer to it is taken.
    """
    starts = sorted(
        (start for order in _orders(corners) if (start := _start(order, size))), key=lambda start: start.cost
    )
    fits = [_upright(start.corners, size, start.pose) for start in starts[: C.PLATE_FITS]]
    if not fits:
        return None
    best = min(
        fits,
        key=lambda fit: (
            fit.cost + (0.0 if near is None else (turn_between(near, fit.ground.ahead) / C.PLATE_NEAR_SD) ** 2)
        ),
    )
    width = float(np.max(np.ptp(corners, axis=0)))
    return best.ground if best.miss <= C.PLATE_MISS * width else None


@dataclass(frozen=True)
class _Fit:
    """A ground, the largest miss of a corner in px, and the sum of squared misses in deviations."""

    ground: Ground
    miss: float
    cost: float


def _orders(corners: Array) -> list[Array]:
    ways = (corners, corners[::-1])
    return [np.roll(way, shift, axis=0) for way in ways for shift in range(5)]


@dataclass(frozen=True)
class _Start:
    """Corners in the order of PLATE_IN, a first pose for them (see `_project`), and how badly it fits, square inches."""

    corners: Array
    pose: Array
    cost: float


def _start(corners: Array, size: tuple[float, float]) -> _Start | None:
    """The best of some tilts of an upright camera; None where the plate would lie above the horizon.

    With the tilt given, every corner's place on the ground follows but for one scale, and the plate is turned, sized and
    moved onto them; ground positions are complex numbers, x + i z.
    """
    focal = C.FOCAL_SHARE * max(size)
    rays = np.column_stack([(corners - np.array(size) / 2.0) / focal, np.ones(5)])
    plate = PLATE_IN[:, 0] - 1j * PLATE_IN[:, 1]
    off = plate - plate.mean()
    best = None
    for tilt in TILTS:
        turned = _turn(tilt, 0.0)
        level = rays @ turned
        if level[:, 1].min() <= 1e-3:
            continue
        ground = (level[:, 0] + 1j * level[:, 2]) / level[:, 1]
        turn = np.vdot(off, ground - ground.mean()) / np.vdot(off, off).real
        cost = float(np.sum(np.abs(ground - ground.mean() - turn * off) ** 2) / np.abs(turn) ** 2)
        if best is None or cost < best.cost:
            high = 1.0 / np.abs(turn)  # inches from the camera down to the ground
            tip = (ground.mean() - turn * plate.mean()) * high
            place = turned @ [tip.real, high, tip.imag]
            best = _Start(corners, np.array([np.angle(turn), tilt, 0.0, 0.0, *place]), cost)
    return best


def _upright(corners: Array, size: tuple[float, float], start: Array) -> _Fit:
    """The line by a camera fitted to the corners, in the order of PLATE_IN, from a first pose on."""

    def misses(pose: Array) -> Array:
        off = (_project(pose, size) - corners) / C.HAND_SD_PX
        return np.concatenate([off.ravel(), pose[2:4] / [np.radians(C.ROLL_SD), C.FOCAL_SD]])

    far = max(abs(float(start[6])), 1.0)
    fit = scipy.optimize.least_squares(misses, start, x_scale=[1.0, 1.0, 0.1, 0.1, far, far, far], max_nfev=60)
    spread = np.linalg.pinv(fit.jac.T @ fit.jac)
    # Corners that fit worse than hands place them make the line less sure as well.
    worse = max(float(np.sqrt(2.0 * fit.cost / (len(fit.fun) - len(fit.x)))), 1.0)
    sd = min(float(np.degrees(np.sqrt(spread[0, 0]))) * worse, 90.0)
    plane = np.linalg.pinv(_to_picture(fit.x, size))
    ground = Ground(float(np.degrees(fit.x[0])), float(np.hypot(sd, C.PLATE_LEAST_SD)), plane / np.abs(plane).max())
    miss = float(np.max(np.linalg.norm(_project(fit.x, size) - corners, axis=1)))
    return _Fit(ground, miss, 2.0 * float(fit.cost))


def _project(pose: Array, size: tuple[float, float]) -> Array:
    """The plate's corners [5, 2] in the picture, px."""
    seen = _PLATE @ _to_picture(pose, size).T
    return np.asarray(seen[:, :2] / np.maximum(seen[:, 2:], 1e-6))


def _to_picture(pose: Array, size: tuple[float, float]) -> Array:
    """Homography [3, 3] from the ground, inches ahead of the plate's tip and to the right of it, to the picture, px.

    pose  direction of the line, tilt and roll of the camera, radians; logarithm of the focal length against the usual one;
          the plate's tip on the camera's axes (x right, y down, z away), inches
    """
    yaw, tilt, roll, zoom = pose[:4]
    turn, (cos, sin) = _turn(tilt, roll), (np.cos(yaw), np.sin(yaw))
    seen = np.empty((3, 3))
    seen[:, 0], seen[:, 1], seen[:, 2] = turn @ [cos, 0.0, sin], turn @ [sin, 0.0, -cos], pose[4:]
    focal = C.FOCAL_SHARE * max(size) * np.exp(zoom)
    return np.asarray([[focal, 0.0, size[0] / 2.0], [0.0, focal, size[1] / 2.0], [0.0, 0.0, 1.0]] @ seen)


def _turn(tilt: float, roll: float) -> Array:
    """Rotation [3, 3] of a camera, radians: about its x axis by the tilt, then about z by the roll."""
    (x, w), (z, v) = ((np.sin(half), np.cos(half)) for half in (tilt / 2.0, roll / 2.0))
    x, y, z, w = v * x, z * x, z * w, v * w  # the quaternion of both
    return np.array(
        [
            [x * x - y * y - z * z + w * w, 2.0 * (x * y - z * w), 2.0 * (x * z + y * w)],
            [2.0 * (x * y + z * w), y * y - x * x - z * z + w * w, 2.0 * (y * z - x * w)],
            [2.0 * (x * z - y * w), 2.0 * (y * z + x * w), z * z - x * x - y * y + w * w],
        ]
    )
