"""Home plate as a ruler on the ground: where the line to the pitcher runs, seen from this camera, and what place of the ground a pixel
shows.

The plate's shape is fixed by the Official Baseball Rules: front edge 17 in, sides 8.5 in, back edges 12 in. A camera that stands
nearly upright and has about a phone's focal length is fitted to its five corners in the picture, which bears misplaced corners
far better than a free mapping of the ground plane. How far the line may turn follows from the fit: a plate small in the picture
tells little.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

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
    best = min(
        _upright(orders[likely], size, poses[likely]),
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


def _upright(corners: Array, size: tuple[float, float], poses: Array) -> list[_Fit]:
    """The lines by cameras fitted to N times corners [N, 5, 2], in the order of PLATE_IN, from first poses [N, 7] on."""
    far = np.maximum(np.abs(poses[:, 6:]), 1.0)
    units = np.concatenate(
        [np.tile([C.STEP_OF_ANGLES] * 2 + [C.STEP_OF_LENS] * 2, (len(poses), 1)), np.repeat(far, 3, axis=1)], axis=1
    )

    def misses(pose: Array) -> Array:
        off = (_project(pose, size) - corners) / C.HAND_SD_PX
        usual = pose[..., 2:4] / [np.radians(C.ROLL_SD), C.FOCAL_SD]
        return np.concatenate([off.reshape(*pose.shape[:-1], PLATE_IN.size), usual], axis=-1)

    poses, slopes = _least_squares(misses, poses, units)
    costs = np.sum(misses(poses) ** 2, axis=1)
    spread = np.linalg.pinv(slopes @ slopes.swapaxes(1, 2))[:, 0, 0]
    # Corners that fit worse than hands place them make the line less sure as well.
    worse = np.sqrt(np.maximum(costs / (slopes.shape[2] - slopes.shape[1]), 1.0))
    sds = np.hypot(np.minimum(np.degrees(np.sqrt(spread)) * worse, 90.0), C.PLATE_LEAST_SD)
    planes = np.linalg.pinv(_to_picture(poses, size))
    planes = planes / np.abs(planes).max(axis=(1, 2), keepdims=True)
    off = np.linalg.norm(_project(poses, size) - corners, axis=2).max(axis=1)
    return [
        _Fit(Ground(float(np.degrees(pose[0])), float(sd), plane), float(miss), float(cost))
        for pose, sd, plane, miss, cost in zip(poses, sds, planes, off, costs, strict=True)
    ]


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


def _least_squares(misses: Callable[[Array], Array], poses: Array, units: Array) -> tuple[Array, Array]:
    """Poses [N, P] near first ones for which the sum of the squared misses is least, and the slopes there [N, P, M] per unit.

    misses  gives misses [..., N, M] for poses [..., N, P]; units [N, P] is by how much each number usually goes. Each of the N
    is fitted by itself, after Levenberg and Marquardt: where a step makes it worse, the next is shorter and steeper. One that is
    so far behind that no other knowledge of the line could choose it need not come to its end.
    """
    poses, damping = poses.copy(), np.full(len(poses), C.DAMPING[0])
    steps = C.SLOPE_STEP * units * np.eye(poses.shape[1])[:, None]
    off = misses(poses)
    for _ in range(C.PLATE_ROUNDS):
        slopes = (misses(poses + steps) - off).swapaxes(0, 1) / C.SLOPE_STEP
        square = slopes @ slopes.swapaxes(1, 2)
        damped = square + damping[:, None, None] * (square + 1e-9) * np.eye(poses.shape[1])
        move = -np.linalg.solve(damped, slopes @ off[..., None])[..., 0]
        tried = misses(poses + move * units)
        costs, new = np.sum(off**2, axis=1), np.sum(tried**2, axis=1)
        better = new < costs
        poses[better] += (move * units)[better]
        off, costs = np.where(better[:, None], tried, off), np.minimum(costs, new)
        damping *= np.where(better, *C.DAMPING[1:])
        behind = costs > costs.min() + (180.0 / C.PLATE_NEAR_SD) ** 2
        if np.all(behind | (np.abs(move).max(axis=1) < C.SLOPE_STEP)):
            break
    return poses, slopes
