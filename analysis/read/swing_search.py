"""Look for the hitter's swings, at the film's own speed or, where none is seen, as if the film had been slowed down."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.bodies import Bodies
from analysis.read.corrections import Corrections
from analysis.read.facing import measured_line
from analysis.read.instant_network import other_hand, window_frames, window_input
from analysis.read.motion import Motion
from analysis.read.observations import JointObservation, joint_observations
from analysis.read.speed import tagged_factor
from analysis.read.swing_classifier import swing_odds
from analysis.read.swings import Candidate, candidate_between, quick_runs, swings_among
from analysis.read.terms import HANDS
from analysis.read.uncorrected import uncorrected
from analysis.tracks import Tracks

FIRST_VERSION = 1  # of watching, whose confidence in a bat was a score


@dataclass(frozen=True)
class SwingSearch:
    """What was found at one speed.

    motion      cleaned, with what a coach moved; bodies are lifted without that
    observed    what a coach put in place
    hand        "right" or "left", None where nobody swings; sure 0..1
    swings      by index, in order: those found, less those a coach removed, and then those a coach added
    checked     the indices of those added that look like no swing: they were checked
    odds        of the likeliest run that it is a swing, as a logarithm; minus infinity without a run
    """

    motion: Motion
    bodies: Bodies
    observed: tuple[JointObservation, ...]
    hand: str | None
    sure: float
    swings: Mapping[int, Candidate]
    checked: frozenset[int]
    odds: float


def search_swings(tracks: Tracks, fixed: Corrections) -> SwingSearch:
    """The swings of a clip, at the speed that a coach or the maker's tag gives, or at which they look like swings."""
    given = fixed.speed_factor
    tagged = tagged_factor(tracks.clip)
    best = _at(tracks, fixed, given or tagged)
    if given is not None or best.odds >= C.SURE_ODDS or not np.isfinite(best.motion.height_m):
        return best
    # A slow hitter moves as a quick one does in a film slowed twice: that has to look likelier by far.
    twice = best.odds + C.TWICE_ODDS
    for slowdown in (1.0, *C.SLOWED):
        if slowdown != tagged:
            other = _at(tracks, fixed, slowdown)
            if other.odds > max(C.SLOWED_ODDS, best.odds, twice if slowdown == C.TWICE else -np.inf):
                best = other
    return best


def _at(tracks: Tracks, fixed: Corrections, slowdown: float) -> SwingSearch:
    """What is found at one speed, for the hand that is likelier to have swung."""
    clean = uncorrected(tracks, slowdown)
    motion = clean.motion.with_moved(fixed.keypoints) if fixed.keypoints else clean.motion
    bodies = Bodies(clean.motion, clean.lifted)
    # Before anybody is lifted, for what a coach put in place is seen.
    observed = joint_observations(bodies, fixed.keypoints)
    runs = quick_runs(motion)
    added = [candidate_between(motion, start, end) for start, end in fixed.add_swings]
    odds = _odds(motion, bodies, [*runs, *added])
    hand, sure = _hand(odds) if fixed.hand is None else (fixed.hand, 1.0)
    if hand is None:
        return SwingSearch(motion, bodies, observed, None, 0.0, {}, frozenset(), -np.inf)
    own = dict(zip(runs, odds[hand].tolist(), strict=False))
    best = max(own.values(), default=-np.inf)
    # Whether a coach, who settled the speed, has seen the swing that hardly looks like one.
    is_told = fixed.speed_factor is not None and best <= C.SWING_ODDS
    least = C.GIVEN_SPEED_ODDS if is_told else C.SWING_ODDS
    likely = {run: value for run, value in own.items() if value > least and (is_told or not _without_bat(tracks, run))}
    found = swings_among(motion, likely)
    swings = {n: swing for n, swing in enumerate([*found, *added]) if n not in fixed.remove_swings}
    # Those added are swings whatever the odds, but may stop before contact.
    checked = frozenset((np.flatnonzero(odds[hand][len(runs) :] <= least) + len(found)).tolist())
    return SwingSearch(motion, bodies, observed, hand, sure, swings, checked, best)


def _without_bat(tracks: Tracks, run: Candidate) -> bool:
    """Whether the bat was looked for all through a run, and is hardly ever likely to be there: nobody swings without.

    In the quickest frames a bat is a blur; it is seen before, when the hands go back, or after.
    """
    chance = tracks.bat_chance[run.start : run.end + 1]
    looked = np.isfinite(tracks.bat_px[run.start : run.end + 1]).all(axis=(1, 2))
    told_as_chance = tracks.watch.get("version", 0) != FIRST_VERSION
    seen = np.count_nonzero(chance >= C.NO_BAT)
    return bool(told_as_chance and looked.sum() >= C.BAT_LOOKS and seen < C.BAT_GLIMPSES)


def _odds(motion: Motion, bodies: Bodies, runs: Sequence[Candidate]) -> dict[str, Array]:
    """How likely each run of the hands [N] is a swing of a hitter of either hand."""
    if not runs:
        return {hand: np.zeros(0) for hand in HANDS}
    centres = [float(motion.times[run.peak]) for run in runs]
    windows = [window_frames(motion, centre) for centre in centres]
    bodies.lift(np.unique(np.concatenate(windows)))
    lines = [measured_line(bodies, [run], "right") for run in runs]
    rows = [window_input(motion, bodies, *about, "right") for about in zip(centres, lines, strict=True)]
    right = np.stack(rows)
    both = swing_odds(np.concatenate([right, other_hand(right)]))
    return {"right": both[: len(runs)], "left": both[len(runs) :]}


def _hand(odds: Mapping[str, Array]) -> tuple[str | None, float]:
    """The hand of which the likeliest run is likelier a swing, and how sure that is, 0..1; None without a run to tell by."""
    right, left = (float(odds[hand].max(initial=-np.inf)) for hand in ("right", "left"))
    if not np.isfinite(right):
        return None, 0.0
    return ("right" if right >= left else "left"), float(1.0 / (1.0 + np.exp(-abs(right - left))))
