"""Look at a clip: clean it, find its swings, tell hand and line, find the instants, and draw the body at them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array, median_of_known
from analysis.read.bones import measure_bones
from analysis.read.context import SwingContext
from analysis.read.corrections import Corrections
from analysis.read.facing import Facing
from analysis.read.ground import Ground
from analysis.read.hearing import hear
from analysis.read.instants import find_instants
from analysis.read.line import find_line
from analysis.read.motion import Motion
from analysis.read.perturbed_swing import PerturbedSwing
from analysis.read.perturbing import frames_of, perturb_swing
from analysis.read.speed import FilmSpeed, judge_speed
from analysis.read.swing_search import SwingSearch, search_swings
from analysis.tracks import Tracks


@dataclass(frozen=True)
class ClipAnalysis:
    """What a clip shows; facing and ground as of `find_line`.

    By swing index, in order: each swing laid out, with its instants, and its drawn moments.
    """

    motion: Motion
    facing: Facing | None
    ground: Ground | None
    speed: FilmSpeed
    contexts: Mapping[int, SwingContext]
    perturbed: Mapping[int, PerturbedSwing]


def analyse_clip(tracks: Tracks, fixed: Corrections) -> ClipAnalysis:
    """Look at a clip's tracks, with a coach's corrections."""
    search = search_swings(tracks, fixed)
    bodies = search.bodies
    facing, ground = find_line(tracks, search, fixed)
    contexts = {n: _context(tracks, search, n, facing, fixed) for n in search.swings if facing}
    for n, context in contexts.items():
        find_instants(context, bodies, fixed.instants.get(n, {}))
    ends = [(context.found["swing_start"], context.found["contact"]) for context in contexts.values()]
    swing_times = [contact.time - start.time for start, contact in ends if start and contact]
    speed = judge_speed(tracks.clip, swing_times, search.motion.slowdown, fixed.speed_factor)
    for context in contexts.values():
        bodies.lift(frames_of(context))
    bones = measure_bones(bodies)  # as all swings of the clip show them together
    perturbed = {n: perturb_swing(context, bodies, bones, search.observed, speed) for n, context in contexts.items()}
    return ClipAnalysis(search.motion, facing, ground, speed, contexts, perturbed)


def _context(tracks: Tracks, search: SwingSearch, index: int, facing: Facing, fixed: Corrections) -> SwingContext:
    """Lay out one swing between its neighbours."""
    swing, swings = search.swings[index], search.swings.values()
    before = [other.end for other in swings if other.peak < swing.peak]
    after = [other.start for other in swings if other.peak > swing.peak]
    return SwingContext(
        motion=search.motion,
        swing=swing,
        facing=facing,
        bat=_bat(tracks, search.motion, fixed),
        distance=C.FOCAL_SHARE
        * max(tracks.clip["width"], tracks.clip["height"])
        / median_of_known(search.motion.height_px),
        sound=hear(tracks, search.motion),
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
