"""Look at a clip: clean it, find its swings, tell hand and line, find the instants, and draw the body at them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.read.bodies import Bodies
from analysis.read.bones import measure_bones
from analysis.read.context import Found, SwingContext
from analysis.read.corrections import Corrections
from analysis.read.draws import Evidence, draw_moments, frames_of
from analysis.read.facing import Facing
from analysis.read.hearing import hear
from analysis.read.instants import find_instants
from analysis.read.lift import network
from analysis.read.line import Line, face
from analysis.read.moments import Moments
from analysis.read.motion import Motion
from analysis.read.placed import Placed
from analysis.read.sought import Sought, seek
from analysis.read.speed import FilmSpeed, judge_speed
from analysis.read.swings import Candidate, reaches_contact
from analysis.tracks import Tracks

__all__ = ["Look", "look_at"]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Look:
    """What a clip shows. By swing index, in order: the swing, its context, its instants and its drawn moments."""

    motion: Motion
    line: Line
    speed: FilmSpeed
    swings: Mapping[int, Candidate]
    contexts: Mapping[int, SwingContext]
    found: Mapping[int, Mapping[str, Found]]
    moments: Mapping[int, Moments]


def look_at(tracks: Tracks, fixed: Corrections) -> Look:
    """Look at a clip's tracks, with a coach's corrections."""
    sought = seek(tracks, fixed)
    bodies, swings, slowdown = sought.bodies, sought.swings, sought.slowdown
    line = face(tracks, bodies, list(swings.values()), sought.hand, sought.sure, fixed)
    contexts = {}
    if line.facing is not None:
        contexts = {n: _context(tracks, sought, n, line.facing, fixed) for n in sorted(swings)}
    found = {n: find_instants(context, bodies, fixed.instants.get(n)) for n, context in contexts.items()}
    speed = judge_speed(tracks.clip, _swing_times(found.values()), slowdown, fixed.speed_factor)
    evidence = _witness(bodies, contexts, found, sought.placed)
    moments = {n: draw_moments(evidence, contexts[n], found[n], speed.factor, speed.reason) for n in contexts}
    return Look(sought.motion, line, speed, swings, contexts, found, moments)


def _witness(
    bodies: Bodies,
    contexts: Mapping[int, SwingContext],
    found: Mapping[int, Mapping[str, Found]],
    placed: tuple[Placed, ...],
) -> Evidence:
    """The hitter's body as all swings of the clip show it together."""
    for index, context in contexts.items():
        bodies.watch(frames_of(context, found[index]))
    return Evidence(bodies, measure_bones(bodies, bodies.watched, network()), bodies.scale(bodies.watched), placed)


def _context(tracks: Tracks, sought: Sought, index: int, facing: Facing, fixed: Corrections) -> SwingContext:
    """Lay out one swing between its neighbours."""
    swings = sought.swings
    swing = swings[index]
    before = [other.end for other in swings.values() if other.peak < swing.peak]
    after = [other.start for other in swings.values() if other.peak > swing.peak]
    return SwingContext(
        signals=sought.signals,
        swing=swing,
        facing=facing,
        bat=_bat(tracks, sought.motion, fixed),
        sound=hear(tracks, sought.motion, sought.slowdown),
        slowdown=sought.slowdown,
        earliest=max(before, default=-1) + 1,
        latest=min(after, default=tracks.frames) - 1,
        full=index < sought.found or reaches_contact(swing) or "contact" in fixed.instants.get(index, {}),
    )


def _bat(tracks: Tracks, motion: Motion, fixed: Corrections) -> Array:
    """Knob to barrel [F, 3]: x right and y up in standing heights, and its chance; NaN where it is not surely the bat."""
    ends, confidence = tracks.bat_px.astype(np.float64), tracks.bat_chance
    ends[~tracks.bat_is_sure] = np.nan
    for move in fixed.bat:
        ends[move["frame"]] = (move["knob"], move["barrel"])
        confidence[move["frame"]] = 1.0
    way = (ends[:, 1] - ends[:, 0]) / motion.height_px[:, None]
    return np.stack([way[:, 0], -way[:, 1], confidence], axis=1)


def _swing_times(all_found: Iterable[Mapping[str, Found]]) -> list[float]:
    """Film time from swing start to contact, where both were found."""
    return [
        found["contact"].time - found["swing_start"].time
        for found in all_found
        if found["contact"] and found["swing_start"]
    ]
