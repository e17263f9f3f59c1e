"""What reading gives: the film, its swings, their instants and readings, and all of it as JSON."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from analysis.read.checkpoint import Band
from analysis.read.terms import RESULT_SCHEMA

__all__ = ["Film", "FilmCheck", "Instant", "Reading", "Result", "Swing"]

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

    @classmethod
    def unknown(cls, reason: str) -> Instant:
        """An instant that could not be found, with the reason."""
        return cls(None, None, None, "measured", reason)

    def to_json(self) -> dict[str, Any]:
        """As a JSON object."""
        return {
            "frame": self.frame,
            "time_s": number(self.time_s),
            "interval_s": pair(self.interval_s),
            "source": self.source,
            "reason": self.reason,
        }


@dataclass(frozen=True)
class Reading:
    """The value of one checkpoint with its 90 % interval and the call, or the reason why it cannot " "be
    read."""

    checkpoint: str
    instant: str
    value: float | None
    unit: str
    interval: Interval | None
    band: Band
    scale: Interval
    call: str
    reason: str | None = None

    def to_json(self) -> dict[str, Any]:
        """As a JSON object."""
        return {
            "checkpoint": self.checkpoint,
            "instant": self.instant,
            "value": number(self.value),
            "unit": self.unit,
            "interval": pair(self.interval),
            "band": list(self.band),
            "scale": list(self.scale),
            "call": self.call,
            "reason": self.reason,
        }


@dataclass(frozen=True)
class FilmCheck:
    """One film check: whether it is passed, and a kind sentence that says what to do, or what is well."""

    id: str
    ok: bool
    words: str

    def to_json(self) -> dict[str, Any]:
        """As a JSON object."""
        return {"id": self.id, "ok": self.ok, "words": self.words}


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
        """As a JSON object."""
        return {
            "view": self.view,
            "view_confidence": number(self.view_confidence),
            "view_source": self.view_source,
            "hand": self.hand,
            "hand_confidence": number(self.hand_confidence),
            "hand_source": self.hand_source,
            "line_source": self.line_source,
            "ground": [float(f"{value:.9g}") for value in self.ground] if self.ground else None,
            "speed_factor": number(self.speed_factor),
            "speed_source": self.speed_source,
            "speed_suspect": self.speed_suspect,
            "speed_proposed": number(self.speed_proposed),
            "fps": number(self.fps),
            "checks": [check.to_json() for check in self.checks],
        }


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
        for reading in self.readings:
            if reading.checkpoint == checkpoint_id:
                return reading
        raise KeyError(checkpoint_id)

    def to_json(self) -> dict[str, Any]:
        """As a JSON object."""
        return {
            "index": self.index,
            "start_frame": self.start_frame,
            "end_frame": self.end_frame,
            "reaches_contact": self.reaches_contact,
            "instants": {name: instant.to_json() for name, instant in self.instants.items()},
            "readings": [reading.to_json() for reading in self.readings],
            "traces": {name: [number(value) for value in row] for name, row in self.traces.items()},
        }


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
            "swings": [swing.to_json() for swing in self.swings],
        }


def number(value: float | None) -> float | int | None:
    """A finite number, rounded to what anyone can read out of it, or None."""
    if value is None or not math.isfinite(value):
        return None
    if isinstance(value, int):
        return value
    return round(float(value), 5)


def pair(interval: Interval | None) -> list[float | int | None] | None:
    """An interval as a list, or None."""
    return None if interval is None else [number(interval[0]), number(interval[1])]
