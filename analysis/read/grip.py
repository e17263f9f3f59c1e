"""Where the hands are, from two wrists of which one may be hidden."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.tracks import KEYPOINTS as K

__all__ = ["hands_of"]

Array = NDArray[np.float64]

# Wrists on one bat are about 0.07 standing heights apart; beyond the second distance they cannot be.
GRIP_APART: Final = (0.13, 0.22)


def hands_of(points: Array, lead: str | None) -> Array:
    """Place of the hands [..., 3]: the middle of the wrists; where these part, the lead hand's, which never
    leaves the bat.

    A wrist hidden behind the trunk is often seen where it is not. points [..., 33, 3] in standing heights on axes whose
    second is up; lead is the hitter's side with the lower hand on the bat ("left" for a right-handed hitter).
    """
    left, right = points[..., K["left_wrist"], :], points[..., K["right_wrist"], :]
    between = (left + right) / 2.0
    if lead is None:
        return np.asarray(between)
    apart = np.linalg.norm((left - right)[..., :2], axis=-1)
    alone = np.clip((apart - GRIP_APART[0]) / (GRIP_APART[1] - GRIP_APART[0]), 0.0, 1.0)[..., None]
    return np.asarray(alone * (left if lead == "left" else right) + (1.0 - alone) * between)
