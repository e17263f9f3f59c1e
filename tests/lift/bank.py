"""Errors of drawn clips, for moves that are never drawn: the systematic ones of their own motion, and random ones of a clip seen alike."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from multiprocessing.pool import Pool
from pathlib import Path

import numpy as np

from .errors import Errors, errors_of, righted, start_of, stretched
from .mirror import OTHER_JOINT, OTHER_KEYPOINT
from .systematic import Systematic, motion_rows

__all__ = ["NEAR", "Bank", "open_bank"]

NEAR = 30.0  # degrees between two cameras that see about the same


@dataclass(frozen=True)
class Bank:
    """Errors of drawn clips, random ones alone where the ``systematic`` part of any motion is known."""

    errors: list[Errors]
    systematic: Systematic | None = None

    def draw(
        self,
        places: np.ndarray,
        picture: np.ndarray,
        times: np.ndarray,
        contact: float,
        seen_from: tuple[float, bool],
        rng: np.random.Generator,
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Errors in the picture [F, J, 2] and in space [F, J, 3], standing heights, and how surely each keypoint is seen [F, 33].

        places     [F, J, 3] on ray axes, picture [F, J, 2], times [F] s: the move, as `tests.lift.errors.Shown` has it
        contact    s from the first time, NaN where nobody swings
        seen_from  the camera's azimuth, degrees, and whether the hitter is mirrored, so left-handed
        """
        azimuth, mirrored = righted(*seen_from), seen_from[1]
        if mirrored:
            places, picture = places[:, OTHER_JOINT] * [-1, 1, 1], picture[:, OTHER_JOINT] * [-1, 1]
        near = [e for e in self.errors if abs((e.azimuth - azimuth + 180) % 360 - 180) < NEAR] or self.errors
        errors = near[int(rng.integers(len(near)))]
        start = start_of(errors, contact, rng)
        flat, solid, sure = (
            stretched(rows, errors.step, times, start) for rows in (errors.flat, errors.solid, errors.seen)
        )
        if self.systematic:
            own = self.systematic.of(motion_rows(places, picture, times, azimuth), int(rng.integers(2)))
            flat, solid = flat + own[0], solid + own[1]
        if mirrored:
            flat, solid, sure = (
                flat[:, OTHER_JOINT] * [-1, 1],
                solid[:, OTHER_JOINT] * [-1, 1, 1],
                sure[:, OTHER_KEYPOINT],
            )
        return flat, solid, sure


def _errors(path: Path, systematic: Systematic | None) -> list[Errors]:
    return systematic.random_in(path) if systematic else errors_of(path)


def open_bank(files: Iterable[Path], systematic: Systematic | None, pool: Pool) -> Bank:
    """The errors of the clips in ``files``; ``systematic``, what is known of their motion's own part."""
    found = pool.imap(partial(_errors, systematic=systematic), files, chunksize=4)
    return Bank([each for own in found for each in own], systematic)
