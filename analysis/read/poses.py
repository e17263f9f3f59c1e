"""The poses of one swing with every perturbation within the lift's errors.

An error of the lift is shared: by joints that are misjudged together (`Network.correlation`), by all moments of a clip as far as it
lasts (`Network.systematic`), and beyond that by moments close in time. Every pose knows the hitter's bones, and where a coach has put
a joint in place, that joint was seen there: what is learned so goes to all joints and moments that err together with it.

S is the number of perturbations (see `analysis.read.perturbations`); J joints on ray axes, standing heights (see `analysis.read.lift`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import scipy

from analysis.read import constants as C
from analysis.read.arrays import Array, Frames
from analysis.read.bodies import Bodies, at_times
from analysis.read.bones import Bones, condition
from analysis.read.geometry import Samples
from analysis.read.lift import JOINTS, network
from analysis.read.observations import JointObservation
from analysis.read.perturbations import PERTURBATIONS, POSE, spread_over


def perturbed_poses(
    bodies: Bodies,
    frames: Frames,
    times: Mapping[str, Samples],
    bones: Bones,
    observed: Sequence[JointObservation] = (),
) -> dict[str, Array]:
    """Joints [S, J, 3] at the film times [S] of each named moment.

    frames    lifted frames of this swing, between which poses lie on straight lines
    observed  what a coach put in place
    """
    if not frames.size or not times:
        return {name: np.full((PERTURBATIONS, len(JOINTS), 3), np.nan) for name in times}
    best = np.array([float(drawn[0]) for drawn in times.values()])
    shift, roots = _conditioned(bodies, frames, best, bones)
    spread = _covariance(roots, best, bodies.slowdown)
    if observed:
        moved, known = _by_observations(bodies, frames, bones, observed, best, roots)
        shift, spread = shift + moved, spread - known
    # The root is a triangle; a little on the diagonal makes up for rounding, which may leave a variance below zero.
    spread += 1e-9 * np.trace(spread) / len(spread) * np.eye(len(spread))
    root = scipy.linalg.cholesky(spread, lower=True, check_finite=False)
    poses = {}
    for n, (name, drawn) in enumerate(times.items()):
        first, last = n * POSE, (n + 1) * POSE
        joints = spread_over("poses", root[first:last, :last])  # beyond, the triangle is empty
        joints += shift[n]
        joints += at_times(bodies.places, frames, bodies.times, drawn).reshape(PERTURBATIONS, POSE)
        poses[name] = joints.reshape(PERTURBATIONS, -1, 3)
    return poses


def _conditioned(bodies: Bodies, frames: Frames, times: Array, bones: Bones) -> tuple[Array, Array]:
    """What the bones say about the lifted bodies at film times [T]: shift [T, POSE] and root [T, POSE, R], see `condition`."""
    places, sds = (at_times(rows, frames, bodies.times, times) for rows in (bodies.places, bodies.sd))
    return condition(places, sds, bones)


def _covariance(roots: Array, times: Array, slowdown: float) -> Array:
    """Covariance [T POSE, T POSE] of all coordinates at film times [T] together; roots [T, POSE, R]."""
    count = times.size * POSE
    together = roots.reshape(count, -1)
    blocks = (together @ together.T).reshape(times.size, POSE, times.size, POSE)
    blocks *= _error_correlation(times, times, slowdown)[:, None, :, None]
    return np.asarray(blocks.reshape(count, count))


def _error_correlation(first: Array, second: Array, slowdown: float) -> Array:
    """Correlation of the errors at film times [A] and [B], [A, B]."""
    systematic = network().systematic
    return np.asarray(systematic + (1.0 - systematic) * _random_correlation(first, second, slowdown))


def _random_correlation(first: Array, second: Array, slowdown: float) -> Array:
    """What is left of an error from one film time to another, [A, B]: 1 at once, then ever less."""
    return np.asarray(np.exp(-np.abs(first[:, None] - second[None, :]) / (C.RANDOM_ERROR_S * slowdown)))


def _by_observations(
    bodies: Bodies, frames: Frames, bones: Bones, observed: Sequence[JointObservation], times: Array, roots: Array
) -> tuple[Array, Array]:
    """How far poses at film times [T] move once the placed joints were seen where they were put, [T, POSE], and how much covariance
    goes by that, [T POSE, T POSE]; roots [T, POSE, R] of their errors.
    """
    at = sorted({each.frame for each in observed})
    known = dict(zip(at, _conditioned(bodies, frames, bodies.times[at], bones)[1], strict=True))
    rows = np.stack([known[each.frame][3 * each.joint + axis] for each in observed for axis in (0, 1)])
    when = np.array([bodies.times[each.frame] for each in observed]).repeat(2)
    noise = np.array([each.sd for each in observed]).repeat(2)
    off = np.array([each.shift for each in observed]).reshape(-1)
    seen = _error_correlation(when, when, bodies.slowdown) * (rows @ rows.T) + np.diag(noise**2)
    cross = np.einsum("tpr,or->tpo", roots, rows) * _error_correlation(times, when, bodies.slowdown)[:, None, :]
    cross = cross.reshape(-1, when.size)
    gain = np.linalg.solve(seen, cross.T).T
    # A joint put farther away than the lift takes for likely was misjudged by itself: it goes where it was put, and the others go
    # along only as far as they err with it. Nothing becomes less sure by that.
    alone, alone_cross = _alone(observed, off, seen, times, when, bodies.slowdown)
    follow = np.linalg.solve(seen + alone, off)
    return ((cross + alone_cross) @ follow).reshape(times.size, POSE), gain @ cross.T


def _alone(
    observed: Sequence[JointObservation], off: Array, seen: Array, times: Array, when: Array, slowdown: float
) -> tuple[Array, Array]:
    """Covariance of what placed joints were misjudged by themselves, [O, O], and with all coordinates of the moments [T POSE, O].

    off, when  [O] the observations and their film times; seen [O, O] the covariance that they were expected to have
    """
    beyond = (off**2 - np.diag(seen)).reshape(-1, 2).mean(axis=1).repeat(2)
    size = np.sqrt(np.maximum(beyond, 0.0))
    coordinate = np.array([3 * each.joint + axis for each in observed for axis in (0, 1)])
    shared = _random_correlation(when, when, slowdown) * (coordinate[:, None] == coordinate[None, :])
    cross = np.zeros((times.size, POSE, off.size))
    cross[:, coordinate, np.arange(off.size)] = _random_correlation(times, when, slowdown) * size**2
    return size[:, None] * shared * size[None, :], cross.reshape(-1, off.size)
