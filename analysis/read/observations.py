"""Joints that a coach put in place: observations of a lifted body."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from analysis.read import constants as C
from analysis.read.bodies import Bodies
from analysis.read.camera import to_steady
from analysis.read.lift import JOINT_KEYPOINTS


@dataclass(frozen=True)
class JointObservation:
    """One joint (its place among `JOINTS`) at one frame: shift [2] right and up from where it seemed to be, and its deviation.

    Lengths are standing heights.
    """

    frame: int
    joint: int
    shift: tuple[float, float]
    sd: float


def joint_observations(bodies: Bodies, moves: Iterable[dict[str, Any]]) -> tuple[JointObservation, ...]:
    """What a coach's moves of keypoints, {"frame", "keypoint", "x", "y"} in pixels of the frame, say of the lifted joints.

    A keypoint sits a little beside its joint, and the lift knows how; so what counts is how far the coach moved it from where it
    was seen (cleaned of jitter), and a keypoint left where it was says that it was right.
    """
    last = {(move["frame"], move["keypoint"]): move for move in moves if move["keypoint"] in JOINT_KEYPOINTS}
    near = C.OBSERVED_S * bodies.slowdown
    for frame, keypoint in last:
        close = np.abs(bodies.times - bodies.times[frame]) <= near
        bodies.seen[close, JOINT_KEYPOINTS.index(keypoint)] = True
    frames = np.array(sorted({frame for frame, _ in last}), dtype=int)
    lifted = set(bodies.lift(frames).tolist())
    found = [_observation(bodies, move) for (frame, _), move in last.items() if frame in lifted]
    return tuple(each for each in found if np.isfinite(each.shift).all())


def _observation(bodies: Bodies, move: dict[str, Any]) -> JointObservation:
    frame, keypoint = move["frame"], move["keypoint"]
    motion, joint = bodies.motion, JOINT_KEYPOINTS.index(keypoint)
    put = to_steady(np.array([[[move["x"], move["y"]]]], dtype=float), motion.camera[[frame]])[0, 0]
    seen, size = motion.steady[frame], float(motion.height_px[frame])
    was = seen[keypoint]
    if not np.isfinite(was).all():
        flat = bodies.places[frame, :, :2] * [1.0, -1.0] * size
        was = np.nanmean(seen[list(JOINT_KEYPOINTS)] - flat, axis=0) + flat[joint]
    x, y = (put - was) / size * [1.0, -1.0]
    return JointObservation(frame, joint, (float(x), float(y)), float(np.hypot(C.EYE_SD, C.HAND_SD_PX / size)))
