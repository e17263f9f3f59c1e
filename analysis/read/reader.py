"""The whole reading: look at a clip, measure every checkpoint of the book, and say it all in one result."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from analysis.read import constants as C
from analysis.read.checkpoint import Band
from analysis.read.checks import check_film
from analysis.read.context import Found, SwingContext
from analysis.read.corrections import Corrections, parse_corrections
from analysis.read.pipeline import ClipAnalysis, analyse_clip
from analysis.read.readings import read_checkpoints
from analysis.read.result import Film, FilmCheck, Instant, Reading, Result, Swing
from analysis.read.terms import INSTANTS, LEVELS
from analysis.read.traces import traces_of
from analysis.tracks import Tracks


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
    clip = analyse_clip(tracks, fixed)
    swings = tuple(
        _swing(n, context, read_checkpoints(clip.perturbed[n], context.facing.view, level, bands))
        for n, context in clip.contexts.items()
    )
    contacts = sum(swing.reaches_contact for swing in swings)
    checks = check_film(tracks, clip.motion, [context.swing for context in clip.contexts.values()], contacts)
    return Result(dict(tracks.clip), _film(tracks, clip, fixed, checks), swings)


def _swing(index: int, context: SwingContext, readings: tuple[Reading, ...]) -> Swing:
    first, last = _edges(context)
    return Swing(
        index=index,
        start_frame=first,
        end_frame=last,
        reaches_contact=bool(context.found["contact"]),
        instants={name: _instant(context, context.found[name]) for name in INSTANTS},
        readings=readings,
        traces=traces_of(context, first, last),
    )


def _edges(context: SwingContext) -> tuple[int, int]:
    """First and last frame of a swing: its instants with a little room, inside the clip and its neighbours."""
    times = [instant.time for instant in context.found.values() if instant]
    times += [float(context.times[context.swing.start]), float(context.times[context.swing.end])]
    room = C.SWING_ROOM_S * context.slowdown
    frames = context.span(min(times) - room, max(times) + room)
    return int(frames[0]), int(frames[-1])


def _instant(context: SwingContext, found: Found) -> Instant:
    if not found:
        return Instant(None, None, None, "measured", found.reason)
    half = C.Z_90 * found.sd
    frame = int(np.argmin(np.abs(context.times - found.time)))
    return Instant(frame, found.time, (found.time - half, found.time + half), found.source)


def _film(tracks: Tracks, clip: ClipAnalysis, fixed: Corrections, checks: tuple[FilmCheck, ...]) -> Film:
    facing, speed, ground = clip.facing, clip.speed, clip.ground
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
        speed_proposed=speed.proposed,
        fps=tracks.clip["measured_fps"] or tracks.clip["nominal_fps"],
        checks=checks,
        line_source=("coach" if fixed.plate else "plate") if ground else "measured",
        ground=tuple(ground.plane.ravel().tolist()) if ground else None,
    )
