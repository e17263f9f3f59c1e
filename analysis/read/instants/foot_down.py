"""Foot down: the front foot, having lifted or moved, rests on the ground and stays until contact."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.stage import Found, Stage, crossing

__all__ = ["find", "stride_frames"]

Array = NDArray[np.float64]

# Standing heights per second: 0.3 m/s is about 0.2; smoothing rounds the toe's stop by what is added here.
REST_SPEED: Final = 0.25
STRIDE_SPEED: Final = 0.4  # a stride is at least this fast somewhere
LEAST_STRIDE: Final = 0.02  # standing heights between the foot's outermost places
LOOK_BACK_S: Final = 1.6


def find(stage: Stage) -> Found:
    """The end of the stride: the last run of the front foot before contact."""
    stride = stride_frames(stage)
    if stride is None:
        return Found.no("The front foot was not seen to lift or move before this swing.")
    speed, last = stage.speed(stage.front_toe()), stride[1]
    time = crossing(stage.times, speed, REST_SPEED, last + 1)
    slope = max(speed[last] - speed[last + 1], 1e-6) / stage.step
    slope = max(slope, REST_SPEED / (0.2 * stage.pace))
    return Found(time, float(np.hypot(stage.frame_sd, 0.25 * REST_SPEED / slope)))


def stride_frames(stage: Stage) -> tuple[int, int] | None:
    """First and last frame in which the front foot moves in the stride; None when it does not."""
    contact = stage.found["contact"]
    until = contact.time if contact else float(stage.times[stage.swing.end])
    frames = stage.span(until - LOOK_BACK_S * stage.pace, until)
    foot = stage.front_toe()
    moving = stage.speed(foot) > REST_SPEED
    for first, last in reversed(_runs(moving, frames)):
        path = foot[first : last + 1]
        far = float(np.max(np.linalg.norm(path - path[:1], axis=1), initial=0.0))
        fast = float(np.max(stage.speed(foot)[first : last + 1], initial=0.0))
        if far >= LEAST_STRIDE and fast >= STRIDE_SPEED and last + 1 < stage.times.size:
            return first, last
    return None


def _runs(flags: NDArray[np.bool_], frames: NDArray[np.int_]) -> list[tuple[int, int]]:
    """Unbroken runs of true flags among consecutive frames, as (first, last)."""
    runs: list[tuple[int, int]] = []
    for frame in frames[flags[frames]].tolist():
        if runs and runs[-1][1] == frame - 1:
            runs[-1] = (runs[-1][0], frame)
        else:
            runs.append((frame, frame))
    return runs
