"""The rows the desk draws under a swing: how hands and front foot move, and what the microphone heard."""

from __future__ import annotations

import itertools

import numpy as np

from analysis.read.arrays import Array
from analysis.read.context import SwingContext
from analysis.read.motion import rate


def traces_of(context: SwingContext, first: int, last: int) -> dict[str, list[float | None]]:
    """Rows over the frames first..last: film time, frame, speeds in standing heights per real second, loudness 0..1."""
    rows = slice(first, last + 1)
    return {
        "time_s": _row(context.times[rows]),
        "frame": list(range(first, last + 1)),
        "hands_speed": _row((context.motion.hands_speed * context.slowdown)[rows]),
        "front_foot_speed": _row((rate(context.times, context.front_foot()) * context.slowdown)[rows]),
        "sound": _row(_loudness(context, first, last)),
    }


def _loudness(context: SwingContext, first: int, last: int) -> Array:
    """The loudest onset within each frame's time, as a share of the swing's loudest; NaN without sound."""
    times = context.times[first : last + 1]
    sound = context.sound
    if sound is None or not sound.level.size:
        return np.full(times.size, np.nan)
    edges: Array = np.r_[times[0] - context.step / 2, (times[:-1] + times[1:]) / 2, times[-1] + context.step / 2]
    places = np.searchsorted(sound.level_times, edges)
    loud = np.array([np.max(sound.level[a:b], initial=0.0) for a, b in itertools.pairwise(places)])
    return np.asarray(loud / max(float(loud.max()), 1e-12))


def _row(values: Array) -> list[float | None]:
    return [float(value) if np.isfinite(value) else None for value in values]
