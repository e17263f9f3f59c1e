"""Finish: the bat stops or turns back."""

from __future__ import annotations

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.context import Found, SwingContext


def find_finish(context: SwingContext) -> Found:
    """After extension, the moment at which the hands come to rest, or are slowest before they go back."""
    after = context.found["extension"] or context.found["contact"]
    frames = context.span(after.time, after.time + C.FINISH_WITHIN_S * context.slowdown)
    speed = _calm_speed(context, context.motion.hands)
    frames = frames[np.isfinite(speed[frames])]
    if frames.size < 3:
        return Found(reason="The film ends before the swing does.")
    slow = speed[frames] < C.FINISH_SHARE * np.nanmax(speed[context.swing.start : context.swing.end + 1])
    if not slow.any():
        return Found(reason="The hands were not seen to come to rest after this swing.")
    place = int(np.argmax(slow))
    while place + 1 < frames.size and C.FINISH_SPEED < speed[frames[place]] > speed[frames[place + 1]]:
        place += 1
    time = float(context.times[frames[place]]) + C.FINISH_BAT_S * context.slowdown
    return Found(min(time, float(context.times[-1])), max(context.frame_sd, C.FINISH_SD_S * context.slowdown))


def _calm_speed(context: SwingContext, path: Array) -> Array:
    """Speed [F] of a path [F, 2] over a span of time about each frame: what is left of jitter when a body hardly moves."""
    half = C.SPEED_OVER_S * context.slowdown / 2.0
    times = context.times
    start, end = (np.clip(times + aside, times[0], times[-1]) for aside in (-half, half))
    moved = [np.interp(end, times, row) - np.interp(start, times, row) for row in path.T]
    return np.asarray(np.linalg.norm(moved, axis=0) / np.maximum(end - start, 1e-9) * context.slowdown)
