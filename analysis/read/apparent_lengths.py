"""How long the parts of a body look over a stretch of time: what tells a bone that is turned away from one that is short.

A bone turned toward the camera looks short. How long it looks when it is seen best, within half a second before and after, says
how much of its length is hidden now, and with it how far it is turned.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.arrays import Array, Frames
from analysis.read.sides import SIDES
from analysis.tracks import KEYPOINTS

# Real seconds to either side that are looked at, and from one step to the next.
REACH_S: Final = 0.45
STEP_S: Final = 0.1
BEST: Final = 0.9  # share of the frames, beyond which a part is seen best
# The parts, left and right alike, and the lines across the body.
_SIDED: Final = (
    ("hip", "knee"), ("knee", "ankle"), ("heel", "toe"), ("ankle", "heel"), ("hip", "shoulder"), ("shoulder", "elbow"), ("elbow", "wrist"),
)  # fmt: skip
_ACROSS: Final = ("hip", "shoulder", "ankle", "ear")
_PAIRS: Final = [
    *((f"{side}_{first}", f"{side}_{second}") for first, second in _SIDED for side in SIDES),
    *((f"left_{name}", f"right_{name}") for name in _ACROSS for _ in SIDES),
]
_FIRST, _SECOND = ([KEYPOINTS[name] for name in ends] for ends in zip(*_PAIRS, strict=True))
# In the picture when seen best and on average, and in the learned body on average.
LENGTHS: Final = 3 * (len(_SIDED) + len(_ACROSS))


def apparent_lengths(times: Array, flat: Array, deep: Array, slowdown: float, frames: Frames) -> Array:
    """[N, LENGTHS] in standing heights for some frames; 0 where a part was not seen.

    times  [F] film time, s; flat [F, 33, 2] and deep [F, 33, 3] keypoints in standing heights; NaN where not seen
    """
    parts = len(_SIDED) + len(_ACROSS)
    flat_lengths = np.linalg.norm(flat[:, _SECOND] - flat[:, _FIRST], axis=2).reshape(-1, parts, 2)
    solid = np.linalg.norm(deep[:, _SECOND] - deep[:, _FIRST], axis=2).reshape(-1, parts, 2)
    place = np.round((times[frames] - times[0]) / (STEP_S * slowdown)).astype(int)
    out = np.zeros((len(frames), LENGTHS))
    for step in np.unique(place):
        middle = times[0] + step * STEP_S * slowdown
        near = slice(*np.searchsorted(times, [middle - REACH_S * slowdown, middle + REACH_S * slowdown]))
        seen, whole = (rows[near].transpose(0, 2, 1).reshape(-1, parts) for rows in (flat_lengths, solid))
        out[place == step] = np.concatenate([_best(seen), _mean(seen), _mean(whole)])
    return out


def _best(rows: Array) -> Array:
    """What one in ten is longer than, of rows [N, P]."""
    place = (BEST * np.isfinite(rows).sum(axis=0)).astype(int)
    ordered = np.sort(rows, axis=0)  # what was not seen comes last
    return np.asarray(np.nan_to_num(ordered[place, np.arange(rows.shape[1])]))


def _mean(rows: Array) -> Array:
    known = np.isfinite(rows)
    return np.asarray(np.where(known, rows, 0.0).sum(axis=0) / np.maximum(known.sum(axis=0), 1))
