"""Errors that the pose network has shown in drawn swings, put on swings that are not drawn: whole, or a part of them.

NumPy only; `tests.lift.reach` fits lifts to what comes of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.read.lift import JOINT_KEYPOINTS, JOINTS
from analysis.read.motion import Motion

from .bank import NEAR
from .errors import righted
from .mirror import OTHER_JOINT
from .samples import READ_S, answers, in_picture, motion_of
from .store import load

__all__ = ["Seen", "errors_shown", "neighbours", "with_errors"]


@dataclass(frozen=True)
class Seen:
    """Moments of a swing: ``after`` [N] seconds after contact; what a lift sees in a window about each, as it truly is or as it is off
    (``flat`` [N, W, J, 2] in the picture, ``deep`` [N, W, J, 3] the learned body, standing heights), and ``body`` [N, J, 3] on ray axes."""

    azimuth: float
    mirrored: bool
    after: np.ndarray
    flat: np.ndarray
    deep: np.ndarray
    body: np.ndarray


def errors_shown(path: Path) -> list[Seen]:
    """How what was seen of the swings of a file is off, moment by moment; ``flat`` and ``deep`` [N, J, 2 and 3]."""
    out = []
    for each in load(path):
        motion = motion_of(each) if each.kind == 0 else None
        if motion is None or not np.isfinite(motion.height_m):
            continue
        after = each.times - each.contact
        known = np.flatnonzero((after > READ_S[0]) & (after < READ_S[1]) & np.isfinite(motion.height_px))
        body = answers(each)[:, : 3 * len(JOINTS)].reshape(-1, len(JOINTS), 3)
        true = in_picture(each.joints, each.height)
        flat, deep = _as_seen(motion)
        off = Seen(each.azimuth, each.mirrored, after[known], (flat - true)[known], (deep - body)[known], body[known])
        if len(known) >= 10 and np.isfinite(off.flat).all() and np.isfinite(off.deep).all():
            out.append(off)
    return out


def _as_seen(motion: Motion) -> tuple[np.ndarray, np.ndarray]:
    places = list(JOINT_KEYPOINTS)
    steady = motion.steady[:, places] * [1.0, -1.0]
    middle = motion.steady[:, [23, 24]].mean(axis=1)[:, None] * [1.0, -1.0]
    return (steady - middle) / motion.height_px[:, None, None], motion.world[:, places] / motion.height_m * [1, -1, 1]


def neighbours(swings: list[Seen], bank: list[Seen]) -> list[list[Seen]]:
    """For each swing the errors of those that were seen from about the same side."""
    return [[off for off in bank if _apart(off, swing) < NEAR] or bank for swing in swings]


def with_errors(swing: Seen, near: list[Seen], part: float, deep: bool, rng: np.random.Generator) -> np.ndarray:
    """What a lift sees [N, D] of a swing with a part of the errors of a drawn one, the same through each window."""
    flat, solid = swing.flat, swing.deep
    if part > 0:
        off = near[int(rng.integers(len(near)))]
        at = np.abs(off.after[None] - swing.after[:, None]).argmin(axis=1)
        moved_flat, moved_deep = off.flat[at], off.deep[at]
        if off.mirrored != swing.mirrored:
            moved_flat, moved_deep = moved_flat[:, OTHER_JOINT] * [-1, 1], moved_deep[:, OTHER_JOINT] * [-1, 1, 1]
        flat, solid = flat + part * moved_flat[:, None], solid + part * moved_deep[:, None]
    rows = [flat.reshape(len(flat), -1)]
    return np.concatenate([*rows, solid.reshape(len(flat), -1)] if deep else rows, axis=1)


def _apart(one: Seen, two: Seen) -> float:
    """Degrees between two cameras, each as it would stand about a right-handed hitter."""
    a, b = (righted(each.azimuth, each.mirrored) for each in (one, two))
    return abs((a - b + 180) % 360 - 180)
