"""Swing start: the hands' speed relative to the hips rises for good through 15 % of its peak before contact."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.stage import Found, Stage, crossing

__all__ = ["find"]

SHARE: Final = 0.15
LOOK_BACK_S: Final = 0.6
DEPTH_SD_S: Final = 0.05  # seen along the line, the hands start in depth, where their speed is not seen
PEAK_REACH_S: Final = 0.1
HANDS_SD_S: Final = 0.012  # half-hidden hands seem to go a little sooner or later
# The level itself is known to a third, for the peak's height hangs on how fast the film is: between these shares of the
# measured peak the start may lie.
SHARES: Final = (0.10, 0.22)


def find(stage: Stage) -> Found:
    """Going back from the hands' peak to where their speed first falls under the share."""
    speed = stage.signals.hands_speed
    middle = float(stage.times[stage.swing.peak])
    frames = stage.span(middle - PEAK_REACH_S * stage.pace, middle + PEAK_REACH_S * stage.pace)
    if not np.isfinite(speed[frames]).any():
        return Found.no("The hands were not seen at the start of this swing.")
    peak = int(frames[int(np.nanargmax(speed[frames]))])
    rises = [_rise(stage, speed, peak, share * float(speed[peak])) for share in (SHARES[0], SHARE, SHARES[1])]
    if rises[1] is None:
        return Found.no("The hands were moving before this swing began, so its start cannot be told.")
    # A slow rise through the level is known less well than a steep one.
    early, late = rises[0] or rises[1], rises[2] or rises[1]
    depth = 0.0 if stage.from_side else DEPTH_SD_S * stage.pace
    sd = np.linalg.norm([stage.frame_sd, 0.5 * (late - early), HANDS_SD_S * stage.pace])
    return Found(rises[1], float(sd) + depth)


def _rise(stage: Stage, speed: NDArray[np.float64], peak: int, level: float) -> float | None:
    """When, going back from the peak, the speed first falls under a level; None when it never does or was not seen."""
    first = int(stage.span(stage.times[peak] - LOOK_BACK_S * stage.pace, stage.times[peak])[0])
    for frame in range(peak, first, -1):
        if not np.isfinite(speed[frame - 1]):
            return None
        if speed[frame - 1] < level:
            return crossing(stage.times, speed, level, frame)
    return None
