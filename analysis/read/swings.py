"""Find what may be swings in a clip, the quick runs of the hands, and tell which runs make one swing.

Speeds are compared with the fastest run of the same clip. Whether a run is a swing, `analysis.read.swing_classifier` tells.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import scipy

from analysis.read import constants as C
from analysis.read.arrays import Array, step_of
from analysis.read.motion import Motion


@dataclass(frozen=True)
class Candidate:
    """One quick run of the hands: its first frame, that of its peak, and its last one."""

    start: int
    peak: int
    end: int


def quick_runs(motion: Motion) -> list[Candidate]:
    """The quicker runs of the hands, in order of time: what swings are among."""
    speed = _steady_speed(motion, motion.slowdown)
    wide = np.r_[0.0, speed, 0.0]
    top = (speed > wide[:-2]) & (speed >= wide[2:]) & (speed >= C.LEAST_RUN_SHARE * speed.max(initial=0.0))
    step, slowdown = step_of(motion.times), motion.slowdown
    before, after = (max(round(span * slowdown / step), 2) for span in (C.RUN_BEFORE_S, C.RUN_AFTER_S))
    peaks, last = np.flatnonzero(top).tolist(), speed.size - 1
    return [Candidate(max(peak - before, 0), peak, min(peak + after, last)) for peak in peaks]


def swings_among(motion: Motion, odds: Mapping[Candidate, float]) -> list[Candidate]:
    """One run for each swing, in order of time: of runs closer together than two swings can be, the first that is nearly as likely as
    the likeliest.

    The runs of one swing follow each other without rest, and the first of them is the one that meets the ball: after it arms and
    bat come back.

    odds  of each run that it is a swing, as a logarithm
    """

    def apart(one: Candidate, other: Candidate) -> bool:
        return bool(abs(motion.times[one.peak] - motion.times[other.peak]) >= C.SWINGS_APART_S * motion.slowdown)

    kept: list[Candidate] = []
    for best in sorted(odds, key=lambda run: odds[run], reverse=True):
        if all(apart(best, other) for other in kept):
            about = [run for run in odds if run.peak <= best.peak and not apart(best, run)]
            likely = [run for run in about if odds[run] >= odds[best] - C.FIRST_RUN_ODDS]
            kept.append(min(likely, key=lambda run: run.peak))
    return sorted(kept, key=lambda run: run.peak)


def candidate_between(motion: Motion, start: int, end: int) -> Candidate:
    """A swing that a coach marked: the run around the hands' fastest frame between two frames, inclusive."""
    speed = _steady_speed(motion, motion.slowdown)
    return Candidate(start, start + int(np.argmax(speed[start : end + 1])), end)


def _steady_speed(motion: Motion, slowdown: float) -> Array:
    """Speed of the hands [F], averaged over `SPEED_OVER_S`; 0 where they were not seen."""
    speed = np.nan_to_num(motion.hands_speed)
    width = max(round(C.SPEED_OVER_S * slowdown / step_of(motion.times)), 1) | 1
    return np.asarray(scipy.ndimage.uniform_filter1d(speed, width, mode="constant"))
