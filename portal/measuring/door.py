"""The only door between the portal and `analysis`: what the portal may know and ask of it.

`analysis.read` is imported here, in the web process too: it needs NumPy and SciPy alone and answers in milliseconds.
`analysis.watch` (MediaPipe, OpenCV, PyAV) is met only as a process of its own, started by `portal.measuring.runner`.
"""

from __future__ import annotations

import tempfile
from functools import lru_cache
from pathlib import Path
from typing import Any

from django.core.files.storage import default_storage
from django.utils import timezone

from analysis.read import (
    BOOK,
    CHECKPOINTS,
    HANDS,
    INSTANT_NAMES,
    INSTANTS,
    METHOD,
    VIEW_NAMES,
    VIEWS,
    Checkpoint,
    CorrectionError,
    band_for,
    checkpoint,
    checkpoints_at,
    read,
)
from analysis.read.camera import usable_camera
from analysis.read.parts import load_parts
from analysis.tracks import KEYPOINTS, Tracks, TracksError, load
from portal.intake.models import Clip
from portal.measuring.models import Measurement
from portal.measuring.starting import measure_again, start_measuring

__all__ = [
    "BOOK",
    "CHECKPOINTS",
    "HANDS",
    "INSTANTS",
    "INSTANT_NAMES",
    "KEYPOINTS",
    "METHOD",
    "VIEWS",
    "VIEW_NAMES",
    "Checkpoint",
    "CorrectionError",
    "Tracks",
    "TracksError",
    "band_for",
    "checkpoint",
    "checkpoints_at",
    "level_of",
    "load_parts",
    "load_tracks",
    "measure_again",
    "plate_fits",
    "read_again",
    "read_now",
    "read_tracks",
    "start_measuring",
    "usable_camera",
]


def read_again(measurement: Measurement, corrections: dict[str, Any]) -> dict[str, Any]:
    """The result JSON of a measured clip, read anew with a coach's corrections and the bands of the player's level.

    Saves nothing. Raises ValueError with words for the coach when a correction cannot be used, TracksError when the
    tracks file is damaged.
    """
    return read_tracks(load_tracks(measurement.tracks), corrections, level_of(measurement.clip))


def read_tracks(tracks: Tracks, corrections: dict[str, Any], level: str) -> dict[str, Any]:
    return read(tracks, corrections or None, level=level).to_json()


def level_of(clip: Clip) -> str:
    """The level of the player in the year in which the clip came."""
    return clip.submission.player.level_in(timezone.localtime(clip.created_at).year)


def read_now() -> dict[str, Any]:
    """The columns that say with what a result was read that is kept now."""
    return {"read_method": METHOD, "read_book": BOOK, "read_at": timezone.now()}


def plate_fits(measurement: Measurement) -> bool | None:
    """Whether the line was read from the coach's five corners, because they look like home plate on the ground; None
    where no corners were placed.
    """
    source = (measurement.result or {}).get("film", {}).get("line_source")
    return source == "coach" if source and measurement.corrections.get("plate") else None


@lru_cache(maxsize=8)
def load_tracks(storage_name: str) -> Tracks:
    """The tracks in the storage under this name. Cached: a tracks file is written once and never changed."""
    with tempfile.NamedTemporaryFile(suffix=".npz") as copy, default_storage.open(storage_name, "rb") as stored:
        for piece in stored.chunks():
            copy.write(piece)
        copy.flush()
        return load(Path(copy.name))
