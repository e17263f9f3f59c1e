"""Undo swapped names: in side views the pose model calls the left leg right from one frame to the next.

For the legs (knee, ankle, heel, toe together) and for the arms (elbow, wrist, hand together) the cheapest
history is found over all frames at once: a history is cheap when both limbs move smoothly, and a frame costs a
little when its names are exchanged, so that where nothing tells, the model's own names stand.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array, Flags, Frames
from analysis.tracks import KEYPOINTS as K

# Pairs (left, right) that change names together.
LIMBS: Final[dict[str, tuple[tuple[int, int], ...]]] = {
    "legs": tuple((K[f"left_{j}"], K[f"right_{j}"]) for j in ("knee", "ankle", "heel", "toe")),
    "arms": tuple((K[f"left_{j}"], K[f"right_{j}"]) for j in ("elbow", "wrist", "index")),
}


def find_swaps(points: Array, limb: str) -> Flags:
    """Frames [F] in which the names left and right are exchanged.

    limb    a key of LIMBS
    points  [F, 33, D] in any unit; NaN frames are bridged with the last frame seen
    """
    name_cost, step_limit = C.SWAP_COSTS[limb]
    both = points[:, np.array(LIMBS[limb]).T]
    seen = np.flatnonzero(np.isfinite(both).all(axis=(1, 2, 3)))
    swapped = np.zeros(len(points), bool)
    if seen.size < 3:
        return swapped
    swapped[seen] = _cheapest_history(*_step_costs(both[seen], np.diff(seen), step_limit), name_cost)
    return swapped


def _cheapest_history(same: Array, crossed: Array, name_cost: float) -> Flags:
    """Viterbi over "named right" and "exchanged".

    same, crossed  [N - 1] what keeping and what exchanging the names costs from each frame to the next
    name_cost      what it costs to hold a frame's names for exchanged
    """
    kept, exchanged = 0.0, name_cost  # of the cheapest histories that end in either state
    came_from = []
    for stay, change in zip(same.tolist(), crossed.tolist(), strict=True):
        choices = ((kept + stay, exchanged + change), (kept + change, exchanged + stay))
        came_from.append([choice[1] < choice[0] for choice in choices])
        kept, exchanged = min(choices[0]), min(choices[1]) + name_cost
    history = [exchanged < kept]
    for before in reversed(came_from):
        history.append(before[history[-1]])
    return np.array(history[::-1])


def _step_costs(both: Array, gaps: Frames, step_limit: float) -> tuple[Array, Array]:
    """Cost of keeping and of exchanging the names from each frame to the next, in usual steps.

    both [N, 2, J, D], gaps [N - 1] in frames
    """
    here, there = both[:-1], both[1:]
    same = np.linalg.norm(there - here, axis=3)
    crossed = np.linalg.norm(there - here[:, ::-1], axis=3)
    usual = max(float(np.median(np.minimum(same, crossed))), 1e-9)
    scale = (usual * np.maximum(gaps, 1))[:, None, None]
    costs = [np.minimum(steps / scale, step_limit).mean(axis=(1, 2)) for steps in (same, crossed)]
    return costs[0], costs[1]


def undo_swaps(arrays: list[Array], swapped: Flags, pairs: tuple[tuple[int, int], ...]) -> list[Array]:
    """Copies of arrays [F, 33, ...] with the names put right in the swapped frames."""
    put_right = [array.copy() for array in arrays]
    for array in put_right:
        for left, right in pairs:
            array[swapped, left], array[swapped, right] = array[swapped, right], array[swapped, left]
    return put_right
