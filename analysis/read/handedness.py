"""Which hand the hitter bats with: a proposal with a confidence."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array, Frames
from analysis.read.bodies import Bodies, joint
from analysis.read.swings import Candidate

__all__ = ["propose_hand"]


def propose_hand(bodies: Bodies, runs: Sequence[Candidate]) -> tuple[str | None, float]:
    """The hand and how sure that is, 0..1; None without a run to tell by.

    Three looks at it: the bat comes quicker than it is taken back; the face is turned to the pitcher; the hands are held on the
    catcher's side of the shoulders.
    """
    worth = _quick_enough(runs)
    if not worth:
        return None, 0.0
    quickest = {1.0: 0.0, -1.0: 0.0}
    for run in worth:
        turn = _turn(bodies, run)
        if abs(turn) >= C.LEAST_TURN:
            sense = float(np.sign(turn))
            quickest[sense] = max(quickest[sense], run.speed)
    odds = C.HAND_SPEED_WEIGHT * float(np.clip(np.log((quickest[1.0] + 0.1) / (quickest[-1.0] + 0.1)), -1.5, 1.5))
    seen = bodies.places[np.unique(np.concatenate([_about(bodies, run) for run in worth]))]
    across = seen[:, joint("left_shoulder")] - seen[:, joint("right_shoulder")]
    across = across / np.maximum(np.linalg.norm(across, axis=1, keepdims=True), 1e-9)
    face = seen[:, joint("nose")] - _middle(seen, "ear")
    hands = _middle(seen, "wrist") - _middle(seen, "shoulder")
    odds += C.HAND_FACE_WEIGHT * np.tanh(_usual(np.sum(face * across, axis=1)) / C.HAND_FACE_FULL)
    odds -= C.HAND_SIDE_WEIGHT * np.tanh(_usual(np.sum(hands * across, axis=1)) / C.HAND_SIDE_FULL)
    return ("right" if odds >= 0.0 else "left"), float(1.0 / (1.0 + np.exp(-abs(odds))))


def _quick_enough(runs: Sequence[Candidate]) -> list[Candidate]:
    fastest = max((run.speed for run in runs), default=0.0)
    return [run for run in runs if run.speed >= C.HAND_RUN_SHARE * fastest]


def _about(bodies: Bodies, run: Candidate) -> Frames:
    """The frames, of those lifted, from the stance to the end of the swing."""
    peak, slowdown, frames = bodies.times[run.peak], bodies.slowdown, bodies.lifted
    near = (bodies.times[frames] >= peak - C.STANCE_S * slowdown) & (
        bodies.times[frames] <= peak + C.AFTER_PEAK_S * slowdown
    )
    return np.asarray(frames[near])


def _turn(bodies: Bodies, run: Candidate) -> float:
    """How far the lifted shoulders turn within a run, degrees; + = to the body's left."""
    frames = bodies.lifted
    frames = frames[(frames >= run.start) & (frames <= run.end)]
    across = bodies.places[frames, joint("left_shoulder")] - bodies.places[frames, joint("right_shoulder")]
    angle = np.arctan2(across[:, 2], across[:, 0])
    angle = np.unwrap(angle[np.isfinite(angle)])
    return float(np.degrees(angle[-1] - angle[0])) if angle.size else 0.0


def _middle(places: Array, part: str) -> Array:
    return np.asarray((places[:, joint(f"left_{part}")] + places[:, joint(f"right_{part}")]) / 2.0)


def _usual(row: Array) -> float:
    """Median of what was seen; 0 when nothing was."""
    seen = row[np.isfinite(row)]
    return float(np.median(seen)) if seen.size else 0.0
