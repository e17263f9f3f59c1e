"""Tracks, corrections and the checkpoint book become instants and readings. NumPy and SciPy only.

from analysis.read import read from analysis.tracks import load

result = read(load("oak.tracks.npz"), corrections={"hand": "left"}, level="youth") result.to_json()
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from analysis.read.book import CHECKPOINTS, Checkpoint, band_for, checkpoint, checkpoints_at
from analysis.read.checkpoint import Band
from analysis.read.result import Film, FilmCheck, Instant, Reading, Result, Swing
from analysis.read.terms import (
    CALLS,
    HANDS,
    INSTANT_NAMES,
    INSTANTS,
    LEVELS,
    RESULT_SCHEMA,
    VIEW_NAMES,
    VIEWS,
)
from analysis.tracks import Tracks

__all__ = [
    "CALLS",
    "CHECKPOINTS",
    "HANDS",
    "INSTANTS",
    "INSTANT_NAMES",
    "LEVELS",
    "RESULT_SCHEMA",
    "VIEWS",
    "VIEW_NAMES",
    "Checkpoint",
    "Film",
    "FilmCheck",
    "Instant",
    "Reading",
    "Result",
    "Swing",
    "band_for",
    "checkpoint",
    "checkpoints_at",
    "read",
]


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

    The same input gives the same result, to the last digit. Raises CorrectionError when a correction cannot
    be used, and ValueError for an unknown level.
    """
    raise NotImplementedError
