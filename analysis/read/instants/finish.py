"""Finish: the bat stops or turns back."""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.stage import Found, Stage

__all__ = ["find"]

SHARE: Final = 0.2
LOOK_ON_S: Final = 1.0


def find(stage: Stage) -> Found:
    """After extension, the first moment at which the hands are slow and slowest, or at which the shoulders turn
    back.
    """
    after = stage.found["extension"] or stage.found["contact"]
    frames = stage.span(after.time, after.time + LOOK_ON_S * stage.pace)
    speed = stage.signals.hands_speed
    frames = frames[np.isfinite(speed[frames])]
    if frames.size < 3:
        return Found.no("The film ends before the swing does.")
    slow = speed[frames] < SHARE * speed[stage.swing.peak]
    if not slow.any():
        return Found.no("The hands were not seen to come to rest after this swing.")
    place = int(np.argmax(slow))
    while place + 1 < frames.size and speed[frames[place + 1]] < speed[frames[place]]:
        place += 1
    return Found(float(stage.times[frames[place]]), max(stage.frame_sd, 0.04 * stage.pace))
