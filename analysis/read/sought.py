"""Look for the hitter's swings, at the film's own speed or, where none is seen, as if the film had been slowed down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from analysis.read.bodies import Bodies
from analysis.read.corrections import Corrections
from analysis.read.deeds import deeds
from analysis.read.facing import settle
from analysis.read.handedness import propose_hand, watch_runs
from analysis.read.hearing import hear, loud_cracks
from analysis.read.looks import look_about
from analysis.read.motion import Motion, clean_motion
from analysis.read.sides import side_of
from analysis.read.signals import Signals, signals_of
from analysis.read.speed import tagged_factor
from analysis.read.swings import Candidate, candidate_between, find_swings, turning_runs
from analysis.tracks import Tracks

__all__ = ["Sought", "seek"]

# How many times slower than life phones and editors let films run.
SLOWED: Final = (2.0, 4.0, 8.0)
# Logarithms of odds: from here on a run is a swing; here it is so surely one that no other speed is tried; and so much more
# likely must it look at another speed.
SWING: Final = 0.0
SURE: Final = 3.0
BETTER: Final = 1.0


@dataclass(frozen=True)
class Sought:
    """What was found at one speed.

    motion  cleaned, with what a coach moved; bodies are lifted without that
    pace    how many times slower than life the film runs
    hand    "right" or "left", None where nobody swings; sure 0..1
    swings  by index, in order: those found, less those a coach removed, and then those a coach added
    odds    of the likeliest run that it is a swing, as a logarithm; minus infinity without a run
    """

    motion: Motion
    bodies: Bodies
    signals: Signals
    pace: float
    hand: str | None
    sure: float
    swings: Mapping[int, Candidate]
    odds: float


def seek(tracks: Tracks, fixed: Corrections) -> Sought:
    """The swings of a clip, at the speed that a coach or the maker's tag gives, or at which they look like swings."""
    given = fixed.speed_factor
    tagged = tagged_factor(tracks.clip)
    best = _at(tracks, fixed, given or tagged)
    if given is not None or best.odds >= SURE or not np.isfinite(best.motion.height_m):
        return best
    for pace in (1.0, *SLOWED):
        if pace != tagged:
            other = _at(tracks, fixed, pace)
            if other.odds > max(SWING, best.odds + (BETTER if best.odds > SWING else 0.0)):
                best = other
    return best


def _at(tracks: Tracks, fixed: Corrections, pace: float) -> Sought:
    clean = clean_motion(tracks, pace)
    motion = clean_motion(tracks, pace, fixed.keypoints) if fixed.keypoints else clean
    signals, bodies = signals_of(motion), Bodies(clean, pace)
    added = [candidate_between(signals, start, end) for start, end in fixed.add_swings]
    runs = [*turning_runs(signals, pace), *added]
    watch_runs(bodies, runs)
    hand, sure = (fixed.hand, 1.0) if fixed.hand else propose_hand(bodies, runs)
    if hand is not None:
        signals = signals_of(motion, side_of("front", hand), pace)
        added = [candidate_between(signals, start, end) for start, end in fixed.add_swings]
    found = find_swings(signals, pace, hand, loud_cracks(hear(tracks, motion, pace)))
    odds = [_odds(signals, bodies, run, str(hand)) for run in found]
    kept = [run for run, likely in zip(found, odds, strict=True) if likely > SWING]
    swings = {n: swing for n, swing in enumerate([*kept, *added]) if n not in fixed.remove_swings}
    return Sought(motion, bodies, signals, pace, hand, sure, swings, max(odds, default=-np.inf))


def _odds(signals: Signals, bodies: Bodies, run: Candidate, hand: str) -> float:
    """How likely a run of the hands is a swing."""
    ahead = settle(bodies, [run], hand, 1.0).measured
    return deeds().odds(look_about(signals, bodies, float(signals.times[run.peak]), ahead, hand))
