"""When the instants of a swing are: a small network looks at how the body moves about the hands' peak.

It answers with a distribution over time for each instant. How it was fitted and judged: `tests/lift/README.md`.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.arrays import Array, Floats32, Frames, neighbours
from analysis.read.bodies import Bodies, thinned
from analysis.read.lift import JOINT_KEYPOINTS, JOINTS, MIRROR
from analysis.read.motion import Motion
from analysis.read.networks import convolved, parameters
from analysis.read.sides import SIDES

# Instants in the order of the network's answers. The finish is not among them: most clips that it is fitted to end before.
PREDICTED: Final = ("set_up", "load", "foot_down", "swing_start", "contact", "extension")
# Real seconds about the hands' peak that go in, and from one step to the next.
BEFORE_S: Final = 1.5
AFTER_S: Final = 0.6
STEP_S: Final = 1.0 / 60.0
GRID_S: Final = np.arange(-round(BEFORE_S / STEP_S), round(AFTER_S / STEP_S) + 1) * STEP_S
DILATIONS: Final = (1, 2, 4, 8, 2, 1)  # of the convolutions between the first and the last

# The joints that tell a swing's instants, left and right next to each other.
_PARTS: Final = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle", "heel", "toe")
_NAMES: Final = [f"{side}_{part}" for part in _PARTS for side in SIDES]
_LOOKED: Final = [JOINTS.index(name) for name in _NAMES]
_KEYPOINTS: Final = [JOINT_KEYPOINTS[place] for place in _LOOKED]
_OTHER: Final = [place + 1 - 2 * (place % 2) for place in range(len(_NAMES))]
_HIPS: Final = [_NAMES.index(f"{side}_hip") for side in SIDES]
JOINT_COUNT: Final = len(_NAMES)
# In the picture, in space, how surely seen; the line's direction, and whether there is a film at that time.
INPUTS: Final = JOINT_COUNT * (2 + 3 + 1) + 3


def window_frames(motion: Motion, centre: float) -> Frames:
    """The frames [N] to be lifted for what the networks see about a film time, s."""
    times, slowdown = motion.times, motion.slowdown
    near = (times >= centre - BEFORE_S * slowdown) & (times <= centre + AFTER_S * slowdown)
    return thinned(np.flatnonzero(near), times, slowdown)


def window_input(motion: Motion, bodies: Bodies, centre: float, ahead: float, hand: str) -> Floats32:
    """Inputs [G, INPUTS] about a film time, s; `ahead` is the line's direction on ray axes, degrees, NaN where it is not known."""
    bodies.lift(window_frames(motion, centre))
    straight = (ahead if hand == "right" else ahead + 180.0) if np.isfinite(ahead) else 0.0
    flat = motion.space[..., :2]
    rows = inputs(motion.times, flat, bodies.places, motion.visibility, centre, motion.slowdown, straight)
    return rows if hand == "right" else other_hand(rows)


def inputs(
    times: Array, steady: Array, places: Array, visibility: Array, centre: float, slowdown: float, ahead: float
) -> Floats32:
    """The network's inputs for a right-handed hitter, [G, INPUTS] over `GRID_S` about a film time `centre`, s.

    times       [F] film time, s
    steady      [F, 33, 2] keypoints in the steadied picture, x right, y up, standing heights
    places      [F, J, 3] lifted joints in standing heights on ray axes from mid-hips; NaN where none were lifted
    visibility  [F, 33]
    slowdown        how many times slower than life the film runs
    ahead       direction of the line on ray axes, degrees
    """
    at: Array = np.asarray(centre + GRID_S * slowdown, dtype=np.float64)
    inside = (at >= times[0] - STEP_S * slowdown / 2) & (at <= times[-1] + STEP_S * slowdown / 2)
    flat = _near_gaps(steady[:, _KEYPOINTS], times, at)
    known = np.nan_to_num(_near_gaps(visibility[:, _KEYPOINTS], times, at))
    lifted = np.flatnonzero(np.isfinite(places[:, _LOOKED]).any(axis=(1, 2)))
    solid = np.full((at.size, JOINT_COUNT, 3), np.nan)
    if lifted.size:
        solid = _near_gaps(places[lifted][:, _LOOKED], times[lifted], at)
    cos, sin = np.cos(np.radians(ahead)), np.sin(np.radians(ahead))
    solid = np.stack(
        [solid[..., 0] * cos + solid[..., 2] * sin, solid[..., 1], solid[..., 2] * cos - solid[..., 0] * sin], axis=-1
    )
    hips = flat[inside][:, _HIPS].reshape(-1, 2)
    hips = hips[np.isfinite(hips).all(axis=1)]
    flat = flat - (hips.mean(axis=0) if len(hips) else 0.0)
    rows = np.concatenate([flat.reshape(at.size, -1), solid.reshape(at.size, -1), known], axis=1)
    rows = np.where(inside[:, None], np.nan_to_num(rows), 0.0)
    return np.concatenate([rows, np.tile([cos, sin], (at.size, 1)), inside[:, None]], axis=1).astype(np.float32)


def other_hand(rows: Floats32) -> Floats32:
    """Inputs [..., INPUTS] of the same motion for a hitter who bats with the other hand: mirrored, and the line runs the other way."""
    flat, solid, known, rest = np.split(rows, np.cumsum([2, 3, 1]) * JOINT_COUNT, axis=-1)
    shape = (*rows.shape[:-1], JOINT_COUNT, -1)
    flat, solid = (
        part.reshape(shape)[..., _OTHER, :] * MIRROR[: part.shape[-1] // JOINT_COUNT] for part in (flat, solid)
    )
    parts = [flat.reshape(*shape[:-2], -1), solid.reshape(*shape[:-2], -1), known[..., _OTHER], rest * [1.0, -1.0, 1.0]]
    return np.asarray(np.concatenate(parts, axis=-1), dtype=np.float32)


def _near_gaps(rows: Array, times: Array, wanted: Array) -> Array:
    """`interpolated`, but next to a gap the row that is known stands for both while it is the nearer one."""
    before, after, share = neighbours(rows, times, wanted)
    between = (1.0 - share) * before + share * after
    return np.where(np.isfinite(between), between, np.where(share > 0.5, after, before))


def instant_chances(rows: Floats32) -> Array:
    """Chances [len(PREDICTED), G] of each instant over the grid, each row summing to 1, for inputs [G, INPUTS]."""
    network = parameters("time_")
    scores = convolved(network.over_time(rows, DILATIONS), *network.layers[-1]).T.astype(np.float64)
    chances = np.exp(scores - scores.max(axis=1, keepdims=True))
    return np.asarray(chances / chances.sum(axis=1, keepdims=True))
