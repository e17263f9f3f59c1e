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
from analysis.read.signals import Signals


@dataclass(frozen=True)
class Candidate:
    """One quick run of the hands, frames inclusive.

    speed  mean over `SPEED_OVER_S` at the peak, standing heights per film second
    """

    start: int
    peak: int
    end: int
    speed: float


def quick_runs(signals: Signals, slowdown: float = 1.0) -> list[Candidate]:
    """The quicker runs of the hands: what swings are among."""
    runs = _runs(signals, slowdown)
    fastest = max((run.speed for run in runs), default=0.0)
    return [run for run in runs if run.speed >= C.LEAST_RUN_SHARE * fastest]


def swings_among(signals: Signals, odds: Mapping[Candidate, float], slowdown: float) -> list[Candidate]:
    """One run for each swing, in order of time: of runs closer together than two swings can be, the first that is nearly as likely as
    the likeliest.

    The runs of one swing follow each other without rest, and the first of them is the one that meets the ball: after it arms and
    bat come back.

    odds  of each run that it is a swing, as a logarithm
    """
    kept: list[Candidate] = []
    for best in sorted(odds, key=lambda run: odds[run], reverse=True):
        if all(_apart(signals, best, other, slowdown) for other in kept):
            about = [run for run in odds if run.peak <= best.peak and not _apart(signals, best, run, slowdown)]
            kept.append(
                min((run for run in about if odds[run] >= odds[best] - C.FIRST_RUN_ODDS), key=lambda run: run.peak)
            )
    return sorted(kept, key=lambda run: run.peak)


def _apart(signals: Signals, one: Candidate, other: Candidate, slowdown: float) -> bool:
    return bool(abs(signals.times[one.peak] - signals.times[other.peak]) >= C.SWINGS_APART_S * slowdown)


def _steady_speed(signals: Signals, slowdown: float) -> Array:
    """Speed of the hands, averaged over `SPEED_OVER_S`; 0 where they were not seen."""
    speed = np.nan_to_num(signals.hands_speed)
    width = max(round(C.SPEED_OVER_S * slowdown / step_of(signals.times)), 1) | 1
    return np.asarray(scipy.ndimage.uniform_filter1d(speed, width, mode="constant"))


def _runs(signals: Signals, slowdown: float) -> list[Candidate]:
    speed = _steady_speed(signals, slowdown)
    wide = np.r_[0.0, speed, 0.0]
    top = (speed > wide[:-2]) & (speed >= wide[2:])
    before, after = (max(round(span * slowdown / step_of(signals.times)), 2) for span in (C.RUN_BEFORE_S, C.RUN_AFTER_S))
    last = speed.size - 1
    peaks = np.flatnonzero(top).tolist()
    return [Candidate(max(peak - before, 0), peak, min(peak + after, last), float(speed[peak])) for peak in peaks]


def candidate_between(signals: Signals, start: int, end: int) -> Candidate:
    """A swing that a coach marked: the run around the hands' fastest frame between two frames, inclusive."""
    speed = _steady_speed(signals, 1.0)
    peak = start + int(np.argmax(speed[start : end + 1]))
    return Candidate(start, peak, end, float(speed[peak]))
