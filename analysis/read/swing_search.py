"""Look for the hitter's swings, at the film's own speed or, where none is seen, as if the film had been slowed down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.bodies import Bodies
from analysis.read.corrections import Corrections
from analysis.read.facing import estimate_facing
from analysis.read.handedness import propose_hand
from analysis.read.hearing import hear, loud_cracks
from analysis.read.motion import Motion
from analysis.read.observations import JointObservation, joint_observations
from analysis.read.sides import side_of
from analysis.read.signals import Signals, signals_of
from analysis.read.speed import tagged_factor
from analysis.read.swing_classifier import swing_odds
from analysis.read.swings import Candidate, candidate_between, quick_runs, swings_among, turning_runs
from analysis.read.uncorrected import uncorrected
from analysis.read.window_input import window_frames, window_input
from analysis.tracks import Tracks

__all__ = ["SwingSearch", "search_swings"]


@dataclass(frozen=True)
class SwingSearch:
    """What was found at one speed.

    motion  cleaned, with what a coach moved; bodies are lifted without that
    placed  what a coach put in place
    slowdown    how many times slower than life the film runs
    hand    "right" or "left", None where nobody swings; sure 0..1
    swings  by index, in order: those found, less those a coach removed, and then those a coach added
    found   how many of them were found: those with an index below it
    odds    of the likeliest run that it is a swing, as a logarithm; minus infinity without a run
    """

    motion: Motion
    bodies: Bodies
    observed: tuple[JointObservation, ...]
    signals: Signals
    slowdown: float
    hand: str | None
    sure: float
    swings: Mapping[int, Candidate]
    found: int
    odds: float


def search_swings(tracks: Tracks, fixed: Corrections) -> SwingSearch:
    """The swings of a clip, at the speed that a coach or the maker's tag gives, or at which they look like swings."""
    given = fixed.speed_factor
    tagged = tagged_factor(tracks.clip)
    best = _at(tracks, fixed, given or tagged)
    if given is not None or best.odds >= C.SURE_ODDS or not np.isfinite(best.motion.height_m):
        return best
    for slowdown in (1.0, *C.SLOWED):
        if slowdown != tagged:
            other = _at(tracks, fixed, slowdown)
            if other.odds > max(C.SLOWED_ODDS, best.odds + (C.BETTER_ODDS if best.odds > C.SWING_ODDS else 0.0)):
                best = other
    return best


def _at(tracks: Tracks, fixed: Corrections, slowdown: float) -> SwingSearch:
    """What is found at one speed, for the hand that is likelier to have swung."""
    clean = uncorrected(tracks, slowdown)
    motion = clean.motion.with_moved(fixed.keypoints) if fixed.keypoints else clean.motion
    signals, bodies = signals_of(motion), Bodies(clean.motion, slowdown, clean.lifted)
    observed = joint_observations(
        bodies, fixed.keypoints
    )  # before anybody is lifted: what a coach put in place is seen
    runs = quick_runs(signals, slowdown)
    windows = [window_frames(motion.times, float(motion.times[run.peak]), slowdown) for run in runs]
    if windows:
        bodies.lift(np.unique(np.concatenate(windows)))
    runs = [*(turning_runs(runs) or runs), *_added(signals, fixed)]
    hand, sure = (fixed.hand, 1.0) if fixed.hand else propose_hand(bodies, runs)
    cracks = loud_cracks(hear(tracks, motion, slowdown))
    best = _of_hand(SwingSearch(motion, bodies, observed, signals, slowdown, hand, sure, {}, 0, -np.inf), fixed, cracks)
    if hand is not None and not fixed.hand and best.odds < C.SURE_ODDS:
        mirrored = replace(best, signals=signals, hand="left" if hand == "right" else "right")
        other = _of_hand(mirrored, fixed, cracks)
        gain = other.odds - max(best.odds, C.SWING_ODDS - C.BETTER_ODDS)
        if gain > C.BETTER_ODDS:
            best = replace(other, sure=float(1.0 / (1.0 + np.exp(-gain))))
    return best


def _of_hand(search: SwingSearch, fixed: Corrections, cracks: Array) -> SwingSearch:
    """The swings of a hitter of this hand."""
    signals, bodies, slowdown, hand = search.signals, search.bodies, search.slowdown, search.hand
    if hand is None:
        return search
    signals = signals_of(search.motion, side_of("front", hand), slowdown)
    odds = {run: _odds(signals, bodies, run, hand) for run in quick_runs(signals, slowdown)}
    best = max(odds.values(), default=-np.inf)
    least = C.SWING_ODDS if fixed.speed_factor is None else C.GIVEN_SPEED_ODDS
    likely = {run: value for run, value in odds.items() if value > max(least, best - C.FAINTER_ODDS)}
    found = swings_among(signals, likely, slowdown, cracks)
    every = [*found, *_added(signals, fixed)]
    swings = {n: swing for n, swing in enumerate(every) if n not in fixed.remove_swings}
    return replace(search, signals=signals, swings=swings, found=len(found), odds=best)


def _added(signals: Signals, fixed: Corrections) -> list[Candidate]:
    return [candidate_between(signals, start, end) for start, end in fixed.add_swings]


def _odds(signals: Signals, bodies: Bodies, run: Candidate, hand: str) -> float:
    """How likely a run of the hands is a swing."""
    ahead = estimate_facing(bodies, [run], hand, 1.0).measured
    return swing_odds(window_input(signals, bodies, float(signals.times[run.peak]), ahead, hand))
