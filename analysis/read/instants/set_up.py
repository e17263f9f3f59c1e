"""Set-up: the last quiet moment before the load."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.instants.foot_down import stride_frames
from analysis.read.stage import Found, Stage, plateau

__all__ = ["find"]

QUIET_SPEED: Final = 0.08  # standing heights per second, about 0.12 m/s
OVER_S: Final = 0.2
DEPTH_SD_S: Final = 0.25  # seen along the line, hands that go back hardly move in the picture
SD_S: Final = 0.09  # how far apart people set the end of quiet (common practice, no source)
LOOK_BACK_S: Final = 2.0
# Hands may rest at their rearmost as quietly as in the stance: in the stance they have not gone back further than this
# share of the load from where they usually are before it. A load shorter than the least tells nothing.
STANCE_SHARE: Final = 0.35
STANCE_S, STANCE_PERCENTILE = 1.2, 30.0
LEAST_LOAD: Final = 0.015  # standing heights


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
    frames = _before_the_load(stage, frames, until)
    quiet = frames[activity[frames] < QUIET_SPEED]
    if quiet.size:
        return Found(float(stage.times[quiet[-1]]), max(stage.frame_sd, sd))
    calmest = plateau(stage.times, -activity, frames, 0.02)
    assert calmest is not None  # frames were kept for having a value
    return Found(calmest[0], max(stage.frame_sd, calmest[1], sd))


def _before_the_load(stage: Stage, frames: NDArray[np.int_], until: float) -> NDArray[np.int_]:
    """Those frames in which the hands have not gone back yet; all of them where that cannot be told."""
    if not stage.from_side:
        return frames
    back = -stage.hands()[:, 0]
    stance = back[frames[stage.times[frames] >= until - STANCE_S * stage.pace]]
    stance = stance[np.isfinite(stance)]
    loaded = float(np.interp(stage.found["load"].time, stage.times, back))
    if not stance.size or not np.isfinite(loaded):
        return frames
    usual = float(np.percentile(stance, STANCE_PERCENTILE))
    early = frames[back[frames] <= usual + STANCE_SHARE * (loaded - usual)]
    return early if early.size and loaded - usual > LEAST_LOAD else frames
