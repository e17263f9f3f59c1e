"""Set-up: the last quiet moment before the load."""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.instants.foot_down import stride_frames
from analysis.read.stage import Found, Stage, plateau

__all__ = ["find"]

QUIET_SPEED: Final = 0.08  # standing heights per second, about 0.12 m/s
OVER_S: Final = 0.2
DEPTH_SD_S: Final = 0.25  # seen along the line, hands that go back hardly move in the picture
SD_S: Final = 0.09  # how far apart people set the end of quiet (common practice, no source)
LOOK_BACK_S: Final = 2.0


def find(stage: Stage) -> Found:
    """The last frame before the load in which hands and front foot are quiet, or the quietest one."""
    load, sd = stage.found["load"], (SD_S if stage.from_side else DEPTH_SD_S) * stage.pace
    if not load:
        return Found.no("Set-up comes before the load, and the load was not found.")
    stride = stride_frames(stage)
    until = min(load.time, float(stage.times[stride[0]])) if stride else load.time
    frames = stage.span(until - LOOK_BACK_S * stage.pace, until)
    hands, foot = stage.hands()[:, :2], stage.front_foot()
    activity = np.fmax(stage.calm_speed(hands, OVER_S), stage.calm_speed(foot, OVER_S))
    frames = frames[np.isfinite(activity[frames])]
    if not frames.size:
        return Found.no("The film starts too late: the stance before the load is not in it.")
    quiet = frames[activity[frames] < QUIET_SPEED]
    if quiet.size:
        return Found(float(stage.times[quiet[-1]]), max(stage.frame_sd, sd))
    calmest = plateau(stage.times, -activity, frames, 0.02)
    assert calmest is not None  # frames were kept for having a value
    return Found(calmest[0], max(stage.frame_sd, calmest[1], sd))
