"""Swing start: the hands' speed relative to the hips rises for good through 15 % of its peak before contact."""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.stage import Found, Stage, crossing

__all__ = ["find"]

SHARE: Final = 0.15
LOOK_BACK_S: Final = 0.6


def find(stage: Stage) -> Found:
    """Going back from the hands' peak to where their speed first falls under the share."""
    speed, peak = stage.signals.hands_speed, stage.swing.peak
    if not np.isfinite(speed[peak]):
        return Found.no("The hands were not seen at the start of this swing.")
    level = SHARE * speed[peak]
    first = int(stage.span(stage.times[peak] - LOOK_BACK_S * stage.pace, stage.times[peak])[0])
    for frame in range(peak, first, -1):
        if not np.isfinite(speed[frame - 1]):
            return Found.no("The hands were not seen at the start of this swing.")
        if speed[frame - 1] < level:
            time = crossing(stage.times, speed, level, frame)
            # A slow rise through the level is known less well than a steep one.
            rise = max(speed[frame] - speed[frame - 1], 1e-6) / stage.step
            return Found(time, float(np.hypot(stage.frame_sd, 0.25 * level / rise)))
    return Found.no("The hands were moving before this swing began, so its start cannot be told.")
