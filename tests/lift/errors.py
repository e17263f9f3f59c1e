"""How what was seen of drawn clips was off: what moves without pictures are given (`tests.lift.unseen`). Needs no graphics."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.read.lift import JOINT_KEYPOINTS, JOINTS, features, lift

from .mirror import OTHER_JOINT, OTHER_KEYPOINT
from .samples import answers, in_picture, motion_of
from .store import Kept, load

__all__ = ["Errors", "Shown", "errors_of", "righted", "shown_in", "start_of", "stretched"]

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


@dataclass(frozen=True)
class Shown:
    """A clip of a right-handed hitter, or one turned into such: what is true and how what was seen of it is off.

    ``number`` the clip's; ``times`` [F] s and ``contact`` on the clip's clock; ``places`` [F, J, 3] where joints are, on ray axes from
    mid-hips, and ``picture`` [F, J, 2] where a camera sees them (`tests.lift.samples.in_picture`), standing heights; ``flat`` [F, J, 2],
    ``solid`` [F, J, 3] and ``seen`` [F, 33] as in `Errors`
    """

    number: int
    azimuth: float
    times: np.ndarray
    contact: float
    places: np.ndarray
    picture: np.ndarray
    flat: np.ndarray
    solid: np.ndarray
    seen: np.ndarray

    def errors(self, flat: np.ndarray | float = 0.0, solid: np.ndarray | float = 0.0) -> Errors:
        """Its errors, less a part of them [F, J, 2] and [F, J, 3] that is known from elsewhere."""
        return Errors(
            self.azimuth,
            float(np.median(np.diff(self.times))),
            float(self.contact - self.times[0]),
            (self.flat - flat).astype(np.float32),
            (self.solid - solid).astype(np.float32),
            self.seen.astype(np.float32),
        )


def righted(azimuth: float, mirrored: bool) -> float:
    """From where a camera sees a right-handed hitter, degrees, if it sees a clip's, left-handed where ``mirrored``, from ``azimuth``.

    The picture of a mirrored hitter is the mirrored picture of the hitter from the other side.
    """
    return -azimuth if mirrored else azimuth


def shown_in(path: Path) -> list[Shown]:
    """What the swings and acts of a file show; moments at which not all is seen are left out."""
    return [shown for clip in load(path) if clip.kind in (0, 3) for shown in _shown(clip)]


def _shown(clip: Kept) -> list[Shown]:
    motion = motion_of(clip)
    known = np.flatnonzero(np.isfinite(motion.height_px))
    if known.size < 20 or not np.isfinite(motion.height_m):
        return []
    places = answers(clip)[:, : 3 * len(JOINTS)].reshape(-1, len(JOINTS), 3)[known]
    picture = in_picture(clip.joints, clip.height)[known]
    steady = motion.space[known, :, :2]
    flat = steady[:, list(JOINT_KEYPOINTS)] - steady[:, [23, 24]].mean(axis=1)[:, None] - picture
    solid = lift(features(motion, known)).places - places
    seen = motion.visibility[known]
    if clip.mirrored:
        picture, flat = picture[:, OTHER_JOINT] * [-1, 1], flat[:, OTHER_JOINT] * [-1, 1]
        places, solid = places[:, OTHER_JOINT] * [-1, 1, 1], solid[:, OTHER_JOINT] * [-1, 1, 1]
        seen = seen[:, OTHER_KEYPOINT]
    good = np.isfinite(flat).all(axis=(1, 2)) & np.isfinite(solid).all(axis=(1, 2)) & np.isfinite(seen).any(axis=1)
    if good.sum() < 20:
        return []
    azimuth = righted(clip.azimuth, clip.mirrored)
    rows = (places[good], picture[good], flat[good], solid[good], np.nan_to_num(seen[good]))
    return [Shown(clip.number, azimuth, clip.times[known][good], clip.contact, *rows)]


def errors_of(path: Path) -> list[Errors]:
    """The errors of the swings and acts of a file."""
    return [shown.errors() for shown in shown_in(path)]


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
