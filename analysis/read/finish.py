"""Finish: the bat stops or turns back."""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.context import Found, SwingContext

__all__ = ["find_finish"]

SHARE: Final = 0.2
BAT_AFTER_S: Final = 0.05  # the bat swings on a little when the hands have stopped
REST_SPEED: Final = 0.08  # standing heights per second, about 0.12 m/s
OVER_S: Final = 0.1
SD_S: Final = 0.07
LOOK_ON_S: Final = 1.0


def find_finish(context: SwingContext) -> Found:
    """After extension, the moment at which the hands come to rest, or are slowest before they go back."""
    after = context.found["extension"] or context.found["contact"]
    frames = context.span(after.time, after.time + LOOK_ON_S * context.slowdown)
    speed = context.calm_speed(context.signals.hands[:, :2], OVER_S)
    frames = frames[np.isfinite(speed[frames])]
    if frames.size < 3:
        return Found.no("The film ends before the swing does.")
    slow = speed[frames] < SHARE * np.nanmax(speed[context.swing.start : context.swing.end + 1])
    if not slow.any():
        return Found.no("The hands were not seen to come to rest after this swing.")
    place = int(np.argmax(slow))
    while place + 1 < frames.size and REST_SPEED < speed[frames[place]] > speed[frames[place + 1]]:
        place += 1
    time = float(context.times[frames[place]]) + BAT_AFTER_S * context.slowdown
    return Found(min(time, float(context.times[-1])), max(context.frame_sd, SD_S * context.slowdown))
