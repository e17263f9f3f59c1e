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

# Corners in inches: ahead, and to the right seen by the catcher; the tip first, then around by the right.
PLATE_IN: Final = np.array([[0.0, 0.0], [8.5, 8.5], [17.0, 8.5], [17.0, -8.5], [8.5, -8.5]])
_PLATE: Final = np.column_stack([PLATE_IN, np.ones(5)])

_TILTS: Final = np.radians(C.TILTS)


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
    orders = np.stack([np.roll(around, shift, axis=0) for around in (corners, corners[::-1]) for shift in range(5)])
    poses, costs = _first_poses(orders, size)
    likely = np.argsort(costs, kind="stable")[: C.PLATE_FITS]
    likely = likely[np.isfinite(costs[likely])]
    if not likely.size:
        return None
    fits = [_upright(orders[n], size, poses[n], near) for n in likely]
    _, miss, ground = min(fits, key=lambda fit: fit[0])
    return ground if miss <= C.PLATE_MISS * float(np.max(np.ptp(corners, axis=0))) else None


def _first_poses(orders: Array, size: tuple[float, float]) -> tuple[Array, Array]:
    """A first pose (see `_to_picture`) for each of N orders of the corners [N, 5, 2], [N, 7], and how badly it fits, [N] square inches.

    Of some tilts of an upright camera the best; infinitely bad where the plate would lie above the horizon. With the tilt given,
    every corner's place on the ground follows but for one scale, and the plate is turned, sized and moved onto them; ground
    positions are complex numbers, x + i z. Arrays are [tilt, order, corner].
    """
    rays = (orders - np.array(size) / 2.0) / (C.FOCAL_SHARE * max(size))
    rays = np.concatenate([rays, np.ones((*rays.shape[:2], 1))], axis=2)
    plate = PLATE_IN[:, 0] - 1j * PLATE_IN[:, 1]
    off = plate - plate.mean()
    turned = _turn(_TILTS, 0.0 * _TILTS)
    level = rays @ turned[:, None]
    seen = level[..., 1].min(axis=2) > C.ABOVE_GROUND
    ground = (level[..., 0] + 1j * level[..., 2]) / np.where(seen[..., None], level[..., 1], 1.0)
    middle = ground.mean(axis=2, keepdims=True)
    turn = (ground - middle) @ off.conj() / np.vdot(off, off).real
    seen &= np.abs(turn) > 1e-9  # five corners in one place are no plate
    turn = np.where(seen, turn, 1.0)
    costs = np.sum(np.abs(ground - middle - turn[..., None] * off) ** 2, axis=2) / np.abs(turn) ** 2
    costs = np.where(seen, costs, np.inf)
    best, every = costs.argmin(axis=0), np.arange(len(orders))
    turn, middle = turn[best, every], middle[best, every, 0]
    high = 1.0 / np.abs(turn)  # inches from the camera down to the ground
    tip = (middle - turn * plate.mean()) * high
    place = (turned[best] @ np.stack([tip.real, high, tip.imag], axis=1)[..., None])[..., 0]
    nothing = np.zeros(len(orders))
    return np.column_stack([np.angle(turn), _TILTS[best], nothing, nothing, place]), costs[best, every]


def _upright(corners: Array, size: tuple[float, float], pose: Array, near: float | None) -> tuple[float, float, Ground]:
    """The ground by a camera fitted to corners [5, 2] in the order of PLATE_IN, from a first pose [7] on.

    Before it, how badly that fits: the sum of squares in deviations, of corners, of what phones usually do and, where `near` (degrees) is
    known, of the line against it; and the largest miss of a corner, px.
    """

    def misses(poses: Array) -> Array:
        off = (_project(poses, size) - corners) / C.HAND_SD_PX
        usual = poses[..., 2:4] / [np.radians(C.ROLL_SD), C.FOCAL_SD]
        return np.concatenate([off.reshape(*poses.shape[:-1], PLATE_IN.size), usual], axis=-1)

    def slopes(pose: Array) -> Array:
        return (misses(pose + C.SLOPE_STEP * np.eye(pose.size)) - misses(pose)).T / C.SLOPE_STEP

    end = {"ftol": C.PLATE_FITTED, "xtol": C.PLATE_FITTED, "max_nfev": C.PLATE_TRIES}
    fit = scipy.optimize.least_squares(misses, pose, slopes, method="lm", x_scale="jac", **end)
    spread = np.linalg.pinv(fit.jac.T @ fit.jac)[0, 0]
    # Corners that fit worse than hands place them make the line less sure as well.
    worse = np.sqrt(max(2.0 * fit.cost / (fit.fun.size - pose.size), 1.0))
    sd = np.hypot(min(np.degrees(np.sqrt(spread)) * worse, 90.0), C.PLATE_LEAST_SD)
    plane = np.linalg.pinv(_to_picture(fit.x, size))
    miss = np.linalg.norm(_project(fit.x, size) - corners, axis=1).max()
    ground = Ground(float(np.degrees(fit.x[0])), float(sd), plane / np.abs(plane).max())
    off = 0.0 if near is None else turn_between(near, ground.ahead) / C.PLATE_NEAR_SD
    return float(2.0 * fit.cost) + off**2, float(miss), ground


def _project(poses: Array, size: tuple[float, float]) -> Array:
    """The plate's corners [..., 5, 2] in the picture, px."""
    seen = _PLATE @ _to_picture(poses, size).swapaxes(-1, -2)
    return np.asarray(seen[..., :2] / np.maximum(seen[..., 2:], 1e-6))


def _to_picture(poses: Array, size: tuple[float, float]) -> Array:
    """Homographies [..., 3, 3] from the ground, inches ahead of the plate's tip and to the right of it, to the picture, px.

    poses  [..., 7] direction of the line, tilt and roll of the camera, radians; logarithm of the focal length against the usual
           one; the plate's tip on the camera's axes (x right, y down, z away), inches
    """
    yaw, tilt, roll, zoom = np.moveaxis(poses[..., :4], -1, 0)
    turn, cos, sin = _turn(tilt, roll), np.cos(yaw)[..., None], np.sin(yaw)[..., None]
    x, z = turn[..., 0], turn[..., 2]
    seen = np.stack([cos * x + sin * z, sin * x - cos * z, poses[..., 4:]], axis=-1)
    focal = C.FOCAL_SHARE * max(size) * np.exp(zoom)[..., None, None]
    middle = np.array(size)[:, None] / 2.0
    return np.concatenate([focal * seen[..., :2, :] + middle * seen[..., 2:, :], seen[..., 2:, :]], axis=-2)


def _turn(tilt: Array, roll: Array) -> Array:
    """Rotations [..., 3, 3] of a camera, radians: about its x axis by the tilt, then about z by the roll."""
    (x, w), (z, v) = ((np.sin(angle), np.cos(angle)) for angle in (tilt, roll))
    rows = [[v, -z * w, z * x], [z, v * w, -v * x], [np.zeros_like(x), x, w]]
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)
