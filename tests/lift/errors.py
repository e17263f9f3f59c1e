"""How what was seen of drawn clips was off: what moves without pictures are given (`tests.lift.unseen`). Needs no graphics."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.read.lift import JOINT_KEYPOINTS, JOINTS, features, lift

from .mirror import OTHER_JOINT, OTHER_KEYPOINT
from .samples import answers, motion_of
from .store import load

__all__ = ["Errors", "errors_of", "start_of", "stretched"]

TOGETHER = 0.8  # of the moves with a swing: errors run as that swing ran
TOGETHER_SD_S = 0.02  # give or take


@dataclass(frozen=True)
class Errors:
    """How what was seen of one clip was off: ``flat`` [F, J, 2] and ``solid`` [F, J, 3] in standing heights, ``seen`` [F, 33]."""

    azimuth: float  # for a right-handed hitter
    step: float
    contact: float  # seconds from the first row, NaN where nobody swings
    flat: np.ndarray
    solid: np.ndarray
    seen: np.ndarray


def errors_of(path: Path) -> list[Errors]:
    """The errors of the swings and acts of a file."""
    out = []
    for each in load(path):
        if each.kind not in (0, 3):
            continue
        motion = motion_of(each)
        known = np.flatnonzero(np.isfinite(motion.height_px))
        if known.size < 20 or not np.isfinite(motion.height_m):
            continue
        true = answers(each)[:, : 3 * len(JOINTS)].reshape(-1, len(JOINTS), 3)[known]
        steady = motion.space[known, :, :2]
        flat = steady[:, list(JOINT_KEYPOINTS)] - steady[:, [23, 24]].mean(axis=1)[:, None] - true[..., :2]
        solid = lift(features(motion, known)).places - true
        flip = each.mirrored
        if flip:
            flat, solid = flat[:, OTHER_JOINT] * [-1, 1], solid[:, OTHER_JOINT] * [-1, 1, 1]
        seen = motion.visibility[known]
        if flip:
            seen = seen[:, OTHER_KEYPOINT]
        good = np.isfinite(flat).all(axis=(1, 2)) & np.isfinite(solid).all(axis=(1, 2)) & np.isfinite(seen).any(axis=1)
        if good.sum() >= 20:
            out.append(
                Errors(
                    each.azimuth,
                    float(np.median(np.diff(each.times))),
                    float(each.contact - each.times[known][good][0]),
                    flat[good].astype(np.float32),
                    solid[good].astype(np.float32),
                    np.nan_to_num(seen[good]).astype(np.float32),
                )
            )
    return out


def start_of(errors: Errors, contact: float, rng: np.random.Generator) -> float:
    """Where in a clip's errors a move begins, s, as `stretched` wants it: so that both swings meet the ball together, or anywhere.

    contact  of the move, s from its first time, or NaN: limbs hide each other and hands are quick at about the same time of any swing
    """
    there_and_back = 2 * errors.step * (len(errors.flat) - 1)
    start = float(rng.uniform(0, there_and_back))
    if np.isfinite(contact) and np.isfinite(errors.contact) and rng.random() < TOGETHER:
        start = errors.contact - contact + there_and_back / 2 + float(rng.normal(0, TOGETHER_SD_S))
    return start


def stretched(rows: np.ndarray, step: float, times: np.ndarray, start: float) -> np.ndarray:
    """Errors as they run through a clip, to and fro where it is shorter than the move."""
    last = len(rows) - 1
    at = np.abs(((times - times[0] + start) / step) % (2 * last) - last)
    low = np.minimum(at.astype(int), last - 1)
    share = (at - low).reshape(-1, *([1] * (rows.ndim - 1)))
    return np.asarray(rows[low] * (1 - share) + rows[low + 1] * share, dtype=np.float64)
