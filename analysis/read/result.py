"""What reading gives: the film, its swings, their instants and readings, and all of it as JSON."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, is_dataclass
from typing import Any

from analysis.read import constants as C
from analysis.read.checkpoint import Band
from analysis.read.terms import RESULT_SCHEMA

Interval = tuple[float, float]


@dataclass(frozen=True)
class Instant:
    """A moment of one swing: nearest frame, film time (s), 90 % interval (s), and where it comes from.

    source is "measured", "sound" or "coach"; frame, time_s and interval_s are None when it is not known,
    and reason says why.
    """

    frame: int | None
    time_s: float | None
    interval_s: Interval | None
    source: str
    reason: str | None = None


@dataclass(frozen=True)
class Reading:
    """The value of one checkpoint with its 90 % interval and the call, or the reason why it cannot be read."""

    checkpoint: str
    instant: str
    value: float | None
    unit: str
    interval: Interval | None
    band: Band
    scale: Interval
    call: str
    reason: str | None = None


@dataclass(frozen=True)
class FilmCheck:
    """One film check: whether it is passed, and a kind sentence that says what to do, or what is well."""

    id: str
    ok: bool
    words: str


@dataclass(frozen=True)
class Film:
    """What was found out about the film as a whole.

    speed_factor: how many times slower the film runs than the swing did; None while suspect and not settled.
    speed_proposed: what it seems to be while it is suspect; None where there is no guess.
    line_source: what the line to the pitcher was read from: "coach" (the plate's corners as placed), "plate" (as it was
    seen), or "measured" (the hitter's feet alone).
    ground: the homography from the reference frame's pixels to inches on the ground, nine numbers row by row (see `Ground.plane`);
    None where the line was not read from a plate.
    """

    view: str
    view_confidence: float
    view_source: str
    hand: str | None
    hand_confidence: float
    hand_source: str
    speed_factor: float | None
    speed_source: str
    speed_suspect: bool
    fps: float | None
    checks: tuple[FilmCheck, ...] = ()
    line_source: str = "measured"
    ground: tuple[float, ...] | None = None
    speed_proposed: float | None = None

    def to_json(self) -> dict[str, Any]:
        """As a JSON object; a homography's numbers keep nine digits, for they are of very different sizes."""
        ground = [float(f"{value:.9g}") for value in self.ground] if self.ground else None
        return {**as_json(self), "ground": ground}


@dataclass(frozen=True)
class Swing:
    """One swing: its frames, instants, readings in the order of the book, and traces for the desk."""

    index: int
    start_frame: int
    end_frame: int
    reaches_contact: bool
    instants: dict[str, Instant]
    readings: tuple[Reading, ...]
    traces: dict[str, list[float | None]] = field(default_factory=dict)

    def reading(self, checkpoint_id: str) -> Reading:
        """The reading of one checkpoint; KeyError for an id the book does not have."""
        return {reading.checkpoint: reading for reading in self.readings}[checkpoint_id]


@dataclass(frozen=True)
class Result:
    """All that was read from one tracks file."""

    clip: dict[str, Any]
    film: Film
    swings: tuple[Swing, ...]

    def to_json(self) -> dict[str, Any]:
        """As a JSON object; every number in it is finite, None stands for "not known"."""
        return {
            "schema": RESULT_SCHEMA,
            "clip": dict(self.clip),
            "film": self.film.to_json(),
            "swings": as_json(self.swings),
        }


def as_json(value: Any) -> Any:
    """Dataclasses as objects by the names of their fields, tuples as lists, numbers finite and rounded, or None."""
    if isinstance(value, float):  # first, for nearly all of a result is numbers
        return round(float(value), C.DIGITS) if math.isfinite(value) else None
    if isinstance(value, tuple | list):
        return [as_json(each) for each in value]
    if isinstance(value, dict):
        return {name: as_json(each) for name, each in value.items()}
    if is_dataclass(value):
        return as_json(vars(value))
    return value
