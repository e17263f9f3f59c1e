"""Look at a clip: clean it, find its swings, tell hand and line, find the instants, and draw the body at them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from analysis.read.arrays import Array
from analysis.read.bodies import Bodies
from analysis.read.bones import measure_bones
from analysis.read.context import Found, SwingContext
from analysis.read.corrections import Corrections
from analysis.read.facing import Facing
from analysis.read.hearing import hear
from analysis.read.instants import find_instants
from analysis.read.lift import network
from analysis.read.line import Line, find_line
from analysis.read.motion import Motion
from analysis.read.observations import JointObservation
from analysis.read.perturbed_swing import PerturbedSwing
from analysis.read.perturbing import Evidence, frames_of, perturb_swing
from analysis.read.speed import FilmSpeed, judge_speed
from analysis.read.swing_search import SwingSearch, search_swings
from analysis.read.swings import Candidate
from analysis.tracks import Tracks


@dataclass(frozen=True)
class ClipAnalysis:
    """What a clip shows. By swing index, in order: the swing, its context, its instants and its drawn moments."""

    motion: Motion
    line: Line
    speed: FilmSpeed
    swings: Mapping[int, Candidate]
    contexts: Mapping[int, SwingContext]
    instants: Mapping[int, Mapping[str, Found]]
    perturbed: Mapping[int, PerturbedSwing]


def analyse_clip(tracks: Tracks, fixed: Corrections) -> ClipAnalysis:
    """Look at a clip's tracks, with a coach's corrections."""
    search = search_swings(tracks, fixed)
    bodies, swings, slowdown = search.bodies, search.swings, search.slowdown
    line = find_line(tracks, bodies, list(swings.values()), search.hand, search.sure, fixed)
    contexts = {}
    if line.facing is not None:
        contexts = {n: _context(tracks, search, n, line.facing, fixed) for n in sorted(swings)}
    found = {n: find_instants(context, bodies, fixed.instants.get(n)) for n, context in contexts.items()}
    speed = judge_speed(tracks.clip, _swing_times(found.values()), slowdown, fixed.speed_factor)
    evidence = _evidence(bodies, contexts, found, search.observed)
    perturbed = {n: perturb_swing(evidence, contexts[n], found[n], speed.factor, speed.reason) for n in contexts}
    return ClipAnalysis(search.motion, line, speed, swings, contexts, found, perturbed)


def _evidence(
    bodies: Bodies,
    contexts: Mapping[int, SwingContext],
    found: Mapping[int, Mapping[str, Found]],
    observed: tuple[JointObservation, ...],
) -> Evidence:
    """The hitter's body as all swings of the clip show it together."""
    for index, context in contexts.items():
        bodies.lift(frames_of(context, found[index]))
    return Evidence(bodies, measure_bones(bodies, bodies.lifted, network()), observed)


def _context(tracks: Tracks, search: SwingSearch, index: int, facing: Facing, fixed: Corrections) -> SwingContext:
    """Lay out one swing between its neighbours."""
    swings = search.swings
    swing = swings[index]
    before = [other.end for other in swings.values() if other.peak < swing.peak]
    after = [other.start for other in swings.values() if other.peak > swing.peak]
    return SwingContext(
        signals=search.signals,
        swing=swing,
        facing=facing,
        bat=_bat(tracks, search.motion, fixed),
        sound=hear(tracks, search.motion, search.slowdown),
        slowdown=search.slowdown,
        earliest=min(max(before, default=-1) + 1, swing.peak),  # swings that a coach added may overlap
        latest=max(min(after, default=tracks.frames) - 1, swing.peak),
        full=index not in search.checked or "contact" in fixed.instants.get(index, {}),
    )


def _bat(tracks: Tracks, motion: Motion, fixed: Corrections) -> Array:
    """Knob to barrel [F, 3]: x right and y up in standing heights, and its chance; NaN where it is not surely the bat."""
    ends, confidence = tracks.bat_px.astype(np.float64), tracks.bat_chance
    ends[~tracks.bat_is_sure] = np.nan
    for move in fixed.bat:
        ends[move["frame"]] = (move["knob"], move["barrel"])
        confidence[move["frame"]] = 1.0
    bat = (ends[:, 1] - ends[:, 0]) / motion.height_px[:, None]
    return np.stack([bat[:, 0], -bat[:, 1], confidence], axis=1)


def _swing_times(all_found: Iterable[Mapping[str, Found]]) -> list[float]:
    """Film time from swing start to contact, where both were found."""
    return [
        found["contact"].time - found["swing_start"].time
        for found in all_found
        if found["contact"] and found["swing_start"]
    ]
