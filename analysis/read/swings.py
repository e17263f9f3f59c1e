"""Find the swings of a clip.

A swing is one quick run of the hands in which the shoulders turn forward. The arms' way back afterwards turns
the other way and is slower; a waggle does not turn the shoulders. Speeds are compared with the fastest run of
the same clip, so a clip in slow motion needs no other rule.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.signal import find_peaks

from analysis.read.signals import Signals

__all__ = ["Candidate", "candidate_between", "find_swings", "pace_of", "reaches_contact"]

Array = NDArray[np.float64]

# Standing heights per second: the hands of a full swing, from children to adults, run at about 3 to 7 (common practice,
# no source). A clip whose fastest run is slower than half the least is taken for slow motion when windows are laid out.
USUAL_PEAK: Final = 4.0
LEAST_PEAK: Final = 1.5

RUN_EDGE: Final = 0.2  # a run of the hands reaches to where their speed falls under this share of its peak
LEAST_SHARE: Final = 0.45  # of the fastest forward run's peak: slower runs are not swings
LEAST_TURN: Final = 35.0  # degrees of the shoulders
LEAST_WAY: Final = 0.15  # standing heights between the hands' first and last place in the run
APART_S: Final = 0.5

CONTACT_TURN: Final = 55.0  # degrees: a swing that reaches contact has turned the shoulders further than this


@dataclass(frozen=True)
class Candidate:
    """One quick run of the hands, frames inclusive; turn in degrees (+ = to the body's left), peak in heights
    per second.
    """

    start: int
    peak: int
    end: int
    speed: float
    turn: float
    way: float


def pace_of(signals: Signals) -> float:
    """How many times slower than life the film seems to run: 1 unless even the fastest hands crawl."""
    speeds = signals.hands_speed[np.isfinite(signals.hands_speed)]
    fastest = float(np.max(speeds, initial=0.0))
    return max(1.0, USUAL_PEAK / fastest) if 0.0 < fastest < LEAST_PEAK else 1.0


def find_swings(signals: Signals, pace: float = 1.0) -> list[Candidate]:
    """The swings of a clip in order of time, also those that were checked before contact."""
    runs = [run for run in _runs(signals, pace) if run.way >= LEAST_WAY]
    turning = [run for run in runs if abs(run.turn) >= LEAST_TURN]
    if not turning:
        return []
    # The fastest run of a clip goes forward: nobody takes the bat back as fast as it came.
    best = max(turning, key=lambda run: run.speed * min(abs(run.turn), 90.0))
    forward = [run for run in turning if np.sign(run.turn) == np.sign(best.turn)]
    fastest = max(run.speed for run in forward)
    return [run for run in forward if run.speed >= LEAST_SHARE * fastest]


def _runs(signals: Signals, pace: float) -> list[Candidate]:
    speed = np.nan_to_num(signals.hands_speed)
    step = float(np.median(np.diff(signals.times))) if signals.times.size > 1 else 1.0
    apart = max(int(APART_S * pace / step), 1)
    peaks, _ = find_peaks(np.r_[0.0, speed, 0.0], height=0.25 * float(speed.max(initial=0.0)), distance=apart)
    return [_run(signals, speed, int(peak) - 1, max(int(0.6 * pace / step), 2)) for peak in peaks]


def _run(signals: Signals, speed: Array, peak: int, reach: int) -> Candidate:
    """The run around a peak: out to where the hands are slow, at most `reach` frames to each side."""
    start, end = peak, peak
    while start > max(peak - reach, 0) and speed[start - 1] > RUN_EDGE * speed[peak]:
        start -= 1
    while end < min(peak + reach, speed.size - 1) and speed[end + 1] > RUN_EDGE * speed[peak]:
        end += 1
    turn, hands = signals.turn[start : end + 1], signals.hands[start : end + 1]
    turn, hands = turn[np.isfinite(turn)], hands[np.isfinite(hands).all(axis=1)]
    return Candidate(
        start=start,
        peak=peak,
        end=end,
        speed=float(speed[peak]),
        turn=float(turn[-1] - turn[0]) if turn.size else 0.0,
        way=float(np.linalg.norm(hands[-1] - hands[0])) if len(hands) else 0.0,
    )


def candidate_between(signals: Signals, start: int, end: int) -> Candidate:
    """A swing that a coach marked: the run around the hands' fastest frame between two frames, inclusive."""
    speed = np.nan_to_num(signals.hands_speed)
    peak = start + int(np.argmax(speed[start : end + 1]))
    run = _run(signals, speed, peak, max(peak - start, end - peak, 2))
    return replace(run, start=max(run.start, start), end=min(run.end, end))


def reaches_contact(swing: Candidate) -> bool:
    """False for a swing that was checked: the shoulders stopped before they had turned to the ball."""
    return abs(swing.turn) >= CONTACT_TURN
