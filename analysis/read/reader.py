"""The whole reading, step by step: clean, find swings, tell hand and view, find instants, measure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.checkpoint import Band
from analysis.read.checks import check_film
from analysis.read.corrections import Corrections, parse_corrections
from analysis.read.draws import draw_moments
from analysis.read.facing import Facing, along_plate, propose, settle
from analysis.read.ground import Ground, read_plate
from analysis.read.hearing import hear
from analysis.read.instants import find_instants
from analysis.read.motion import Motion, clean_motion
from analysis.read.readings import read_checkpoints
from analysis.read.result import Film, FilmCheck, Instant, Result, Swing
from analysis.read.sides import side_of
from analysis.read.signals import Signals, signals_of
from analysis.read.speed import FilmSpeed, judge_speed, tagged_factor
from analysis.read.stage import NINETY, Found, Stage
from analysis.read.swings import Candidate, candidate_between, find_swings, pace_of, reaches_contact
from analysis.read.terms import INSTANTS, LEVELS
from analysis.read.traces import traces_of
from analysis.tracks import Tracks

__all__ = ["read"]

Array = NDArray[np.float64]

EDGE_ROOM_S: Final = 0.15
# Of plates found on rendered films, those with this confidence show the line to 2 degrees; below it half of them are something else.
PLATE_CONFIDENCE: Final = 0.8
SEEN_PLATE_SD: Final = 2.0  # degrees, beyond what a coach's corners may err


def read(
    tracks: Tracks,
    corrections: Mapping[str, Any] | None = None,
    bands: Mapping[str, Band] | None = None,
    level: str = "youth",
) -> Result:
    """Read a clip's tracks: find its swings, their instants, and measure every checkpoint of the book.

    corrections  what a coach moved by hand; see `analysis.read.corrections`
    bands        the coach's own bands by checkpoint id; the book's are used for the others
    level        "child", "youth" or "adult": whose bands of the book

    The same input gives the same result. A swing keeps its index when others are removed. Raises CorrectionError when
    a correction cannot be used, and ValueError for an unknown level.
    """
    if level not in LEVELS:
        raise ValueError(f"The level must be one of {', '.join(LEVELS)}, got {level!r}.")
    fixed = parse_corrections(corrections, tracks.frames)
    motion, signals, pace = _prepare(tracks, fixed)
    hand = fixed.hand or _hand_of(signals, find_swings(signals, pace))
    if hand is not None:
        signals = signals_of(motion, side_of("front", hand), pace)
    swings = _swings(signals, pace, hand, fixed)
    facing, line_source = _facing(tracks, signals, list(swings.values()), fixed)
    stages = {
        index: _stage(tracks, motion, signals, swings, index, facing, pace, fixed)
        for index in swings
        if facing is not None
    }
    found = {index: find_instants(stage, fixed.instants.get(index)) for index, stage in stages.items()}
    speed = judge_speed(tracks.clip, _swing_times(found.values()), pace, fixed.speed_factor)
    read_swings = tuple(
        _read_swing(index, motion, stages[index], found[index], speed, level, bands) for index in sorted(stages)
    )
    contacts = sum(swing.reaches_contact for swing in read_swings)
    checks = check_film(tracks, motion, list(swings.values()), contacts)
    return Result(dict(tracks.clip), _film(tracks, facing, line_source, fixed, speed, checks), read_swings)


def _prepare(tracks: Tracks, fixed: Corrections) -> tuple[Motion, Signals, float]:
    """Cleaned motion and its signals; a film in slow motion is cleaned again with its own, slower cut-offs."""
    pace = fixed.speed_factor or tagged_factor(tracks.clip)
    motion = clean_motion(tracks, pace, fixed.keypoints)
    signals = signals_of(motion)
    seems = pace_of(signals)
    if fixed.speed_factor is None and seems > 1.5 * pace:
        motion = clean_motion(tracks, seems, fixed.keypoints)
        return motion, signals_of(motion), seems
    return motion, signals, pace


def _hand_of(signals: Signals, swings: Sequence[Candidate]) -> str | None:
    """The hand as far as a first look tells: it says which wrist to follow."""
    facing = propose(signals, swings)
    return facing.hand if facing else None


def _swings(signals: Signals, pace: float, hand: str | None, fixed: Corrections) -> dict[int, Candidate]:
    """Swings by index: those found, less those removed, and then those added by a coach."""
    found = find_swings(signals, pace, hand)
    added = [candidate_between(signals, start, end) for start, end in fixed.add_swings]
    return {n: swing for n, swing in enumerate([*found, *added]) if n not in fixed.remove_swings}


def _facing(
    tracks: Tracks, signals: Signals, swings: Sequence[Candidate], fixed: Corrections
) -> tuple[Facing | None, str]:
    """The facing, None without a swing to tell by, and what the line was read from: see `Film.line_source`."""
    facing = propose(signals, swings)
    if facing is not None and (fixed.hand is not None or fixed.view is not None):
        sure = 1.0 if fixed.hand else facing.hand_confidence
        facing = settle(signals, swings, fixed.hand or facing.hand, sure, fixed.view)
    ground = _ground(tracks, facing, fixed)
    turned = along_plate(facing, ground.ahead, ground.sd) if facing and ground else facing
    used = ground is not None and (facing is None or turned != facing)
    return turned, ("coach" if fixed.plate else "plate") if used else "measured"


def _ground(tracks: Tracks, facing: Facing | None, fixed: Corrections) -> Ground | None:
    """Home plate where a coach placed its corners, or else where watching was sure of it."""
    size = (tracks.clip["width"], tracks.clip["height"])
    near = facing.ahead if facing else None
    if fixed.plate:
        return read_plate(np.array(fixed.plate), size, near)
    if tracks.plate_confidence < PLATE_CONFIDENCE or not np.isfinite(tracks.plate_px).all():
        return None
    ground = read_plate(tracks.plate_px.astype(np.float64), size, near)
    return replace(ground, sd=float(np.hypot(ground.sd, SEEN_PLATE_SD))) if ground else None


def _stage(
    tracks: Tracks,
    motion: Motion,
    signals: Signals,
    swings: Mapping[int, Candidate],
    index: int,
    facing: Facing,
    pace: float,
    fixed: Corrections,
) -> Stage:
    """Lay out one swing between its neighbours."""
    swing = swings[index]
    before = [other.end for other in swings.values() if other.peak < swing.peak]
    after = [other.start for other in swings.values() if other.peak > swing.peak]
    return Stage(
        signals=signals,
        swing=swing,
        facing=facing,
        bat=_bat(tracks, motion, fixed),
        sound=hear(tracks, motion, pace),
        pace=pace,
        earliest=max(before, default=-1) + 1,
        latest=min(after, default=tracks.frames) - 1,
        full=reaches_contact(swing) or "contact" in fixed.instants.get(index, {}),
    )


def _bat(tracks: Tracks, motion: Motion, fixed: Corrections) -> Array:
    """Knob to barrel [F, 3]: x right and y up in standing heights, and confidence."""
    ends, confidence = tracks.bat_px.astype(np.float64), tracks.bat_confidence.astype(np.float64)
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


def _read_swing(
    index: int,
    motion: Motion,
    stage: Stage,
    found: Mapping[str, Found],
    speed: FilmSpeed,
    level: str,
    bands: Mapping[str, Band] | None,
) -> Swing:
    moments = draw_moments(motion, stage, found, speed.factor, speed.reason)
    first, last = _edges(stage, found)
    return Swing(
        index=index,
        start_frame=first,
        end_frame=last,
        reaches_contact=bool(found["contact"]),
        instants={name: _instant(stage, found[name]) for name in INSTANTS},
        readings=read_checkpoints(moments, stage.facing.view, level, bands),
        traces=traces_of(stage, first, last),
    )


def _edges(stage: Stage, found: Mapping[str, Found]) -> tuple[int, int]:
    """First and last frame of a swing: its instants with a little room, inside the clip and its neighbours."""
    times = [instant.time for instant in found.values() if instant]
    times += [float(stage.times[stage.swing.start]), float(stage.times[stage.swing.end])]
    room = EDGE_ROOM_S * stage.pace
    frames = stage.span(min(times) - room, max(times) + room)
    return int(frames[0]), int(frames[-1])


def _instant(stage: Stage, found: Found) -> Instant:
    if not found:
        return Instant.unknown(str(found.reason))
    half = NINETY * found.sd
    frame = int(np.argmin(np.abs(stage.times - found.time)))
    return Instant(frame, found.time, (found.time - half, found.time + half), found.source)


def _film(
    tracks: Tracks,
    facing: Facing | None,
    line_source: str,
    fixed: Corrections,
    speed: FilmSpeed,
    checks: tuple[FilmCheck, ...],
) -> Film:
    return Film(
        view=facing.view if facing else fixed.view or "unknown",
        view_confidence=facing.view_confidence if facing else float(fixed.view is not None),
        view_source="coach" if fixed.view else "measured",
        hand=facing.hand if facing else fixed.hand,
        hand_confidence=facing.hand_confidence if facing else float(fixed.hand is not None),
        hand_source="coach" if fixed.hand else "measured",
        speed_factor=speed.factor,
        speed_source=speed.source,
        speed_suspect=speed.suspect,
        fps=tracks.clip["measured_fps"] or tracks.clip["nominal_fps"],
        checks=checks,
        line_source=line_source,
    )
