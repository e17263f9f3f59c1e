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
from analysis.read.calls import IN_RANGE, OUT_OF_RANGE, call_for, missed_side
from analysis.read.camera import usable_camera
from analysis.read.preload import preload_scipy
from analysis.read.several import common_share, median_of
from analysis.tracks import KEYPOINTS, Tracks, TracksError, load
from portal.camps.bands import Bands, own_bands
from portal.intake.models import Clip
from portal.measuring.models import Measurement
from portal.measuring.resolving import usual_errors
from portal.measuring.starting import measure_again, start_measuring

__all__ = [
    "BOOK",
    "CHECKPOINTS",
    "HANDS",
    "INSTANTS",
    "INSTANT_NAMES",
    "IN_RANGE",
    "KEYPOINTS",
    "METHOD",
    "OUT_OF_RANGE",
    "VIEWS",
    "VIEW_NAMES",
    "Checkpoint",
    "CorrectionError",
    "Tracks",
    "TracksError",
    "band_for",
    "checkpoint",
    "checkpoints_at",
    "in_range",
    "kept",
    "level_of",
    "load_tracks",
    "measure_again",
    "missed",
    "of_several",
    "plate_fits",
    "preload_scipy",
    "read_again",
    "read_clip",
    "read_tracks",
    "side_meant",
    "start_measuring",
    "usable_camera",
    "usual_errors",
]


def missed(reading: dict[str, Any]) -> str:
    """On which side of its band a kept reading surely lies: "low" or "high"; "" where it may be in it or was not read."""
    interval, band = reading["interval"], reading["band"]
    return missed_side(tuple(interval), tuple(band)) if interval and band else ""


def side_meant(reading: dict[str, Any]) -> str:
    """On which side of its band a fault would lie: where the reading surely lies, or, as long as it is not surely in its band, the only
    side that the band has; "" where it may be either.
    """
    low, high = reading["band"] or (None, None)
    if (low is None) is (high is None) or in_range(reading):
        return missed(reading)
    return "high" if low is None else "low"


def in_range(reading: dict[str, Any] | None) -> bool:
    """Whether a kept reading surely lies in its band; not where nothing was read or nothing is wanted."""
    if not reading or not reading["interval"] or not reading["band"] or reading["band"] == [None, None]:
        return False
    low, high = reading["band"]
    return call_for(tuple(reading["interval"]), (low, high)) == IN_RANGE


def of_several(readings: list[dict[str, Any]], view: str) -> dict[str, Any]:
    """One reading of a checkpoint from those of several swings of a clip: their median with its interval and call (see
    analysis/read/several.py). Of one swing that was read alone it is that one's; of none, the first one's reason.
    """
    read_ones = [reading for reading in readings if reading["value"] is not None and reading["interval"]]
    if len(read_ones) < 2:
        return (read_ones or readings)[0]
    first = read_ones[0]
    intervals = [(float(low), float(high)) for low, high in (reading["interval"] for reading in read_ones)]
    share = common_share(first["checkpoint"], view)
    value, (low, high) = median_of([reading["value"] for reading in read_ones], intervals, share)
    if first["scale"][0] >= 0.0:  # what cannot be negative is never said to be
        low = max(low, 0.0)
    band = (first["band"][0], first["band"][1])
    known = {"value": round(value, 5), "interval": [round(low, 5), round(high, 5)], "call": call_for((low, high), band)}
    return {**first, **known, "reason": None}


def read_again(measurement: Measurement, corrections: dict[str, Any]) -> dict[str, Any]:
    """The result JSON of a measured clip, read anew with a coach's corrections and the bands of the player's level.

    Saves nothing. Raises ValueError with words for the coach when a correction cannot be used, TracksError when the
    tracks file is damaged.
    """
    return read_clip(measurement.clip, load_tracks(measurement.tracks), corrections)


def read_clip(clip: Clip, tracks: Tracks, corrections: dict[str, Any]) -> dict[str, Any]:
    """The result JSON of these tracks with the bands of the clip's camp and of the level of its player.

    Beside what reading gives it holds `read_with` (method, book, level, and the version of the camp's bands), and
    `own_band` in each reading whose band is the camp's own.
    """
    level = level_of(clip)
    version, bands = own_bands(clip.submission.camp_id, level)
    result = read_tracks(tracks, corrections, level, bands)
    for swing in result["swings"]:
        for reading in swing["readings"]:
            if reading["checkpoint"] in bands:
                reading["own_band"] = True
    result["read_with"] = {"method": METHOD, "book": BOOK, "level": str(level), "bands": version}
    return result


def read_tracks(tracks: Tracks, corrections: dict[str, Any], level: str, bands: Bands) -> dict[str, Any]:
    return read(tracks, corrections or None, bands, level).to_json()


def level_of(clip: Clip) -> str:
    """The level of the player in the year in which the clip came."""
    return clip.submission.player.level_in(timezone.localtime(clip.created_at).year)


def kept(result: dict[str, Any]) -> dict[str, Any]:
    """The columns that keep a result and say with what it was read."""
    by = result["read_with"]
    versions = {"read_method": by["method"], "read_book": by["book"], "read_bands": by["bands"]}
    return {"result": result, **versions, "read_at": timezone.now()}


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
