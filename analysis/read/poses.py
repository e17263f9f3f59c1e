"""The poses of one swing, drawn many times over within the lift's errors.

An error of the lift is shared: by joints that are misjudged together (`Network.shape`), by all moments of a clip as far as it
lasts (`Network.lasting`), and beyond that by moments close in time. Every pose knows the hitter's bones, and where a coach has put
a joint in place, that joint was seen there: what is learned so goes to all joints and moments that err together with it.

S is the number of draws, draw 0 is the best estimate; J joints on ray axes, standing heights (see `analysis.read.lift`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.bodies import Bodies, at_times
from analysis.read.bones import Bones, Conditioned, condition
from analysis.read.geometry import Draws
from analysis.read.lift import JOINTS, network
from analysis.read.placed import Placed

__all__ = ["DRAWS", "draw_poses", "normals"]

Array = NDArray[np.float64]
Frames = NDArray[np.int_]

DRAWS: Final = 257  # the best estimate, and pairs of draws to either side of it
SEED: Final = 20011
# What does not last through the clip is forgotten with this time constant, real seconds: a few frames.
FORGOTTEN_S: Final = 0.04


@lru_cache(maxsize=256)
def normals(name: str, columns: int = 1) -> Array:
    """Standard normal numbers [S, columns], always the same for one name; row 0 is zero, the best estimate."""
    half = np.random.default_rng([SEED, *name.encode()]).standard_normal(((DRAWS - 1) // 2, columns))
    drawn = np.concatenate([np.zeros((1, columns)), half, -half])
    drawn.setflags(write=False)
    return drawn


@dataclass(frozen=True)
class _Moment:
    """A moment at which a pose is drawn or a joint was placed.

    time    film time of the best estimate, s
    mixed   [S, 3 J] standard normal numbers, correlated with those of other moments
    bones   what the bones say there
    errors  [S, 3 J] errors of the joints, not yet counting what a coach placed
    """

    time: float
    mixed: Array
    bones: Conditioned
    errors: Array


def draw_poses(
    bodies: Bodies, frames: Frames, times: Mapping[str, Draws], bones: Bones, placed: Sequence[Placed] = ()
) -> dict[str, Array]:
    """Joints [S, J, 3] at the drawn film times [S] of each named moment.

    frames  lifted frames of this swing, between which poses lie on straight lines
    placed  what a coach put in place
    """
    if not frames.size:
        return {name: np.full((DRAWS, len(JOINTS), 3), np.nan) for name in times}
    marks = {f"placed {at}": float(bodies.times[at]) for at in sorted({each.frame for each in placed})}
    best = {name: float(drawn[0]) for name, drawn in times.items()} | marks
    moments = _moments(bodies, frames, best, bones)
    learned = _learned(moments, placed, list(times), bodies.pace)
    poses = {}
    for name, drawn in times.items():
        here = at_times(bodies.places, frames, bodies.times, drawn).reshape(DRAWS, -1)
        poses[name] = (here + moments[name].bones.shift + learned[name]).reshape(DRAWS, -1, 3)
    return poses


def _moments(bodies: Bodies, frames: Frames, best: Mapping[str, float], bones: Bones) -> dict[str, _Moment]:
    """The moments with their errors; those named first do not change with those that follow."""
    lifted, moments, own = network(), {}, []
    at = np.array(list(best.values()))
    mixing = np.linalg.cholesky(_kinship(at, at, bodies.pace) + 1e-9 * np.eye(at.size))
    places, sds = (at_times(rows, frames, bodies.times, at) for rows in (bodies.places, bodies.sd))
    for row, (name, time) in enumerate(best.items()):
        own.append(normals(name, 3 * len(JOINTS)))
        mixed = sum(weight * drawn for weight, drawn in zip(mixing[row], own, strict=False))
        known = condition(places[row], sds[row], bones, lifted)
        errors = mixed @ known.root.T + normals(f"bones {name}", known.gain.shape[1]) @ known.gain.T
        moments[name] = _Moment(time, np.asarray(mixed), known, errors)
    return moments


def _kinship(first: Array, second: Array, pace: float) -> Array:
    """Correlation of the errors at film times [A] and [B], [A, B]."""
    lasting = network().lasting
    apart = np.abs(first[:, None] - second[None, :]) / (FORGOTTEN_S * pace)
    return np.asarray(lasting + (1.0 - lasting) * np.exp(-apart))


def _learned(
    moments: Mapping[str, _Moment], placed: Sequence[Placed], names: Sequence[str], pace: float
) -> dict[str, Array]:
    """Errors [S, 3 J] at the named moments once the placed joints have been seen where they were put.

    Every draw is moved by what the observation gainsays it (conditioning a Gaussian draw by draw: Matheron's rule).
    """
    if not placed:
        return {name: moments[name].errors for name in names}
    seen = [(each, axis) for each in placed for axis in (0, 1)]
    at = [moments[f"placed {each.frame}"] for each, _ in seen]
    rows = [3 * each.joint + axis for each, axis in seen]
    root = np.array([moment.bones.root[row] for moment, row in zip(at, rows, strict=True)])
    gain = np.array([moment.bones.gain[row] for moment, row in zip(at, rows, strict=True)])
    when = np.array([moment.time for moment in at])
    sd = np.array([each.sd for each, _ in seen])
    same = when[:, None] == when[None, :]
    spread = _kinship(when, when, pace) * (root @ root.T) + same * (gain @ gain.T) + np.diag(sd**2)
    off = np.array([each.shift[axis] for each, axis in seen])
    errors = np.stack([moment.errors[:, row] for moment, row in zip(at, rows, strict=True)], axis=1)
    missed = off - errors - sd * normals("placed", len(seen))
    weights = np.linalg.solve(spread, missed.T)
    out = {}
    for name in names:
        moment = moments[name]
        kin = _kinship(np.array([moment.time]), when, pace) * (moment.bones.root @ root.T)
        out[name] = moment.errors + (kin @ weights).T
    return out
