"""Where the hands are, from two wrists of which one may be hidden."""

from __future__ import annotations

import numpy as np
import scipy

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.tracks import KEYPOINTS as K

__all__ = ["hands_of", "lead_share", "parted"]


def hands_of(points: Array, lead: str | None, lead_share: Array | float = 1.0) -> Array:
    """Place of the hands [..., 3]: the middle of the wrists; where these part, the one that is known better.

    A wrist hidden behind the trunk is often seen where it is not. points [..., 33, 3] in standing heights on axes whose
    second is up; lead is the hitter's side with the lower hand on the bat ("left" for a right-handed hitter), which never
    leaves it; lead_share [...] says how far to go by it where the wrists part (see `lead_share`).
    """
    left, right = points[..., K["left_wrist"], :], points[..., K["right_wrist"], :]
    between = (left + right) / 2.0
    if lead is None:
        return np.asarray(between)
    first, other = (left, right) if lead == "left" else (right, left)
    share = np.asarray(lead_share)[..., None]
    known = share * first + (1.0 - share) * other
    alone = np.maximum(parted(points)[..., None], 1.0 - share)
    return np.asarray(alone * known + (1.0 - alone) * between)


def parted(points: Array) -> Array:
    """How far the wrists are apart [...], 0 = on one bat, 1 = further than they can be on one; points as in `hands_of`."""
    apart = np.linalg.norm((points[..., K["left_wrist"], :] - points[..., K["right_wrist"], :])[..., :2], axis=-1)
    return np.asarray(np.clip((apart - C.GRIP_APART[0]) / (C.GRIP_APART[1] - C.GRIP_APART[0]), 0.0, 1.0))


def lead_share(visibility: Array, turn_rate: Array, lead: str) -> Array:
    """How far to go by the lead wrist in each frame [F], 0..1: all the way unless the other is seen much better.

    visibility [F, 33], 0..1; NaN counts as not seen. turn_rate [F] is how fast the shoulders turn, degrees per second of real
    time.
    """
    seen = np.nan_to_num(visibility[:, [K["left_wrist"], K["right_wrist"]]])
    calm = scipy.ndimage.median_filter(seen, size=(C.GRIP_CALM_FRAMES, 1), mode="nearest")
    first, other = calm.T if lead == "left" else calm.T[::-1]
    share = 1.0 / (1.0 + np.exp(-(first - other + C.LEAD_BONUS) / C.LEAD_SOFTNESS))
    return np.asarray(np.maximum(share, _turning(turn_rate)))


def _turning(rate: Array) -> Array:
    """How much the body is in its fast turn in each frame [F], 0..1."""
    calm = scipy.ndimage.median_filter(np.abs(np.nan_to_num(rate)), size=3, mode="nearest")
    fastest = scipy.ndimage.maximum_filter1d(calm, C.GRIP_CALM_FRAMES, mode="nearest")
    return np.asarray(
        np.clip((fastest - C.GRIP_TURN_RATES[0]) / (C.GRIP_TURN_RATES[1] - C.GRIP_TURN_RATES[0]), 0.0, 1.0)
    )
