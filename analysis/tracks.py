"""What was seen in a clip, frame by frame: the costly, unjudged facts between watching and reading.

A tracks file is one `.npz` holding a JSON text `meta` (schema, clip, watch) beside one array per field. All
positions are upright picture pixels: origin at the top left, x to the right, y down. F is the number of
decoded frames. NaN means "not seen" or "not watched", never zero.
"""

from __future__ import annotations

import json
import os
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "KEYPOINTS",
    "KEYPOINT_COUNT",
    "TRACKS_SCHEMA",
    "Tracks",
    "TracksError",
    "load",
]

TRACKS_SCHEMA: Final = 1
KEYPOINT_COUNT: Final = 33

# MediaPipe Pose Landmarker's order; "left" and "right" are the hitter's own.
KEYPOINTS: Final[dict[str, int]] = {
    "nose": 0,
    "left_eye": 2,
    "right_eye": 5,
    "left_ear": 7,
    "right_ear": 8,
    "left_shoulder": 11,
    "right_shoulder": 12,
    "left_elbow": 13,
    "right_elbow": 14,
    "left_wrist": 15,
    "right_wrist": 16,
    "left_index": 19,
    "right_index": 20,
    "left_hip": 23,
    "right_hip": 24,
    "left_knee": 25,
    "right_knee": 26,
    "left_ankle": 27,
    "right_ankle": 28,
    "left_heel": 29,
    "right_heel": 30,
    "left_toe": 31,
    "right_toe": 32,
}

# Clip facts every reader relies on, with the types a JSON file gives them.
_CLIP_FACTS: Final[dict[str, tuple[type, ...]]] = {
    "width": (int,),
    "height": (int,),
    "frames": (int,),
    "duration_s": (int, float),
    "nominal_fps": (int, float, type(None)),
    "measured_fps": (int, float, type(None)),
    "variable_rate": (bool,),
    "capture_fps": (int, float, type(None)),
    "has_sound": (bool,),
}

# A line is taken for the bat, drawn and read, where the chance that it is the bat is at least this.
SURE_OF_BAT: Final = 0.75
# What a full score of watching's first version was worth: the share of such lines that were the bat, on drawn hitters.
FIRST_WORTH: Final = 0.65

Floats = NDArray[np.floating[Any]]


class TracksError(ValueError):
    """A tracks file or object that cannot be used; the message names every fault found."""


def _empty(*shape: int) -> Floats:
    return np.full(shape, np.nan, dtype=np.float32)


@dataclass(frozen=True)
class Tracks:
    """Everything watched in one clip.

    clip            facts of the file: name, sha256, width and height (upright, px), rotation, codec,
                    container, frames,
                    duration_s, nominal_fps, measured_fps, variable_rate, capture_fps (maker's tag or None),
                    has_sound
    watch           how it was watched: version, mediapipe, model, model_sha256, ...
    time_s          [F] presentation times, s, strictly increasing
    keypoints_px    [F, 33, 2] the hitter, px
    visibility      [F, 33] 0..1
    world_m         [F, 33, 3] learned body, m: x to the right of the picture, y down, z away from the
                    camera, origin at
                    mid-hips; its size is not this hitter's
    box_px          [F, 4] the hitter's box: x0, y0, x1, y1
    camera          [F, 3, 3] homography from the pixels of frame f to those of the reference frame
    bat_px          [F, 2, 2] knob end, barrel end of the likeliest line
    bat_confidence  [F] 0..1, the chance that this line is the bat, both ends; watching's version 1 kept a score there,
                    which `bat_chance` takes to a chance
    ball_px         [F, 2]
    sound_time_s    [M] and sound_level [M]: band-limited onset strength; M = 0 for a silent clip
    sound_peaks_s   [N] and sound_peak_strength [N]
    plate_px        [5, 2] home plate's corners in the reference frame; plate_confidence 0..1
    bat_candidates  optional [F, C, 5]: knob x, y, barrel x, y, score
    """

    clip: dict[str, Any]
    watch: dict[str, Any]
    time_s: Floats
    keypoints_px: Floats
    visibility: Floats
    world_m: Floats
    box_px: Floats
    camera: Floats
    bat_px: Floats
    bat_confidence: Floats
    ball_px: Floats
    sound_time_s: Floats = field(default_factory=lambda: np.zeros(0))
    sound_level: Floats = field(default_factory=lambda: np.zeros(0, np.float32))
    sound_peaks_s: Floats = field(default_factory=lambda: np.zeros(0))
    sound_peak_strength: Floats = field(default_factory=lambda: np.zeros(0, np.float32))
    plate_px: Floats = field(default_factory=lambda: _empty(5, 2))
    plate_confidence: float = 0.0
    bat_candidates: Floats | None = None

    def __post_init__(self) -> None:
        """Check the whole object once; raise TracksError listing every fault."""
        faults = list(_faults(self))
        if faults:
            raise TracksError("These tracks cannot be read: " + "; ".join(faults) + ".")

    @property
    def frames(self) -> int:
        """F, the number of decoded frames."""
        return int(self.time_s.shape[0])

    @property
    def bat_chance(self) -> NDArray[np.float64]:
        """Chance [F] that the line in `bat_px` is the bat; 0 where there is none."""
        chance = self.bat_confidence.astype(np.float64)
        if self.watch.get("version") == 1:
            chance *= FIRST_WORTH
        return np.where(np.isfinite(self.bat_px).all(axis=(1, 2)), np.nan_to_num(chance), 0.0)

    @property
    def bat_is_sure(self) -> NDArray[np.bool_]:
        """Whether the line in `bat_px` [F] is to be drawn and read."""
        return self.bat_chance >= SURE_OF_BAT

    def save(self, path: str | os.PathLike[str]) -> None:
        """Write the tracks file whole or not at all: a reader never sees half a file."""
        target = Path(path)
        meta = json.dumps({"schema": TRACKS_SCHEMA, "clip": self.clip, "watch": self.watch}, allow_nan=False)
        held = {f.name: getattr(self, f.name) for f in fields(self) if f.name not in ("clip", "watch")}
        arrays = {name: np.asarray(value) for name, value in held.items() if value is not None}
        beside = target.with_name(target.name + f".{os.getpid()}.part")
        try:
            with beside.open("wb") as out:
                np.savez_compressed(out, allow_pickle=False, meta=np.array(meta), **arrays)
            beside.replace(target)
        finally:
            beside.unlink(missing_ok=True)

    @classmethod
    def load(cls, path: str | os.PathLike[str]) -> Tracks:
        """Read a tracks file; see `load`."""
        return load(path)


def load(path: str | os.PathLike[str]) -> Tracks:
    """Read a tracks file.

    Raises FileNotFoundError when there is none, TracksError when it is no tracks file, of another schema,
    or faulty.
    """
    try:
        with np.load(path, allow_pickle=False) as held:
            arrays = {name: held[name] for name in held.files}
    except (zipfile.BadZipFile, zlib.error, ValueError, EOFError, OSError) as error:
        if isinstance(error, FileNotFoundError):
            raise
        raise TracksError(
            f"{Path(path).name} is not a tracks file, or it is damaged. Measure the clip again."
        ) from error
    meta = _meta(arrays.pop("meta", None), Path(path).name)
    known = {f.name for f in fields(Tracks)} - {"clip", "watch"}
    missing = sorted(_REQUIRED - set(arrays))
    if missing:
        raise TracksError(f"{Path(path).name} lacks {', '.join(missing)}. Measure the clip again.")
    used: dict[str, Any] = {name: value for name, value in arrays.items() if name in known}
    if "plate_confidence" in used:
        used["plate_confidence"] = float(used["plate_confidence"])
    return Tracks(clip=meta["clip"], watch=meta["watch"], **used)


_REQUIRED: Final = frozenset(
    (
        "time_s",
        "keypoints_px",
        "visibility",
        "world_m",
        "box_px",
        "camera",
        "bat_px",
        "bat_confidence",
        "ball_px",
    )
)


def _meta(text: NDArray[Any] | None, name: str) -> dict[str, Any]:
    """The JSON part of a tracks file, refused unless it is of this schema."""
    try:
        meta = json.loads(str(text)) if text is not None else None
    except json.JSONDecodeError:
        meta = None
    if not isinstance(meta, dict) or "schema" not in meta:
        raise TracksError(f"{name} is not a tracks file: it does not say its schema. Measure the clip again.")
    if meta["schema"] != TRACKS_SCHEMA:
        raise TracksError(
            f"{name} is of tracks schema {meta['schema']}; this version reads schema {TRACKS_SCHEMA}. "
            "Measure the clip again, or read it with the version that wrote it."
        )
    if not isinstance(meta.get("clip"), dict) or not isinstance(meta.get("watch"), dict):
        raise TracksError(f"{name} does not say which clip it belongs to. Measure the clip again.")
    return meta


def _faults(tracks: Tracks) -> Iterator[str]:
    """Every reason why `tracks` cannot be read, in words."""
    if tracks.time_s.ndim != 1:
        yield f"time_s must be one row of times, got shape {tracks.time_s.shape}"
        return
    yield from _time_faults(tracks.time_s)
    yield from _shape_faults(tracks)
    yield from _clip_faults(tracks.clip, tracks.time_s.shape[0])
    if not 0.0 <= tracks.plate_confidence <= 1.0:
        yield f"plate_confidence must lie in 0..1, got {tracks.plate_confidence}"


def _time_faults(time_s: Floats) -> Iterator[str]:
    if time_s.size == 0:
        yield "there is no frame"
    elif not np.all(np.isfinite(time_s)):
        yield "time_s holds times that are not numbers"
    elif np.any(np.diff(time_s) <= 0):
        first = int(np.argmax(np.diff(time_s) <= 0)) + 1
        yield f"time_s must increase, but frame {first} is not later than the one before"


def _shape_faults(tracks: Tracks) -> Iterator[str]:
    count = tracks.time_s.shape[0]
    expected: dict[str, tuple[int, ...]] = {
        "keypoints_px": (count, KEYPOINT_COUNT, 2),
        "visibility": (count, KEYPOINT_COUNT),
        "world_m": (count, KEYPOINT_COUNT, 3),
        "box_px": (count, 4),
        "camera": (count, 3, 3),
        "bat_px": (count, 2, 2),
        "bat_confidence": (count,),
        "ball_px": (count, 2),
        "sound_level": tracks.sound_time_s.shape,
        "sound_peak_strength": tracks.sound_peaks_s.shape,
        "plate_px": (5, 2),
    }
    for name, shape in expected.items():
        got = getattr(tracks, name).shape
        if got != shape:
            yield f"{name} must have shape {shape}, got {got}"
    candidates = tracks.bat_candidates
    if candidates is not None and (candidates.ndim != 3 or candidates.shape[::2] != (count, 5)):
        yield f"bat_candidates must have shape ({count}, any, 5), got {candidates.shape}"


def _clip_faults(clip: dict[str, Any], count: int) -> Iterator[str]:
    for name, kinds in _CLIP_FACTS.items():
        if name not in clip:
            yield f"clip lacks {name}"
        elif not isinstance(clip[name], kinds) or (isinstance(clip[name], bool) and bool not in kinds):
            yield f"clip {name} must be {' or '.join(kind.__name__ for kind in kinds)}, got {clip[name]!r}"
    if isinstance(clip.get("frames"), int) and clip["frames"] != count:
        yield f"clip says {clip['frames']} frames, but there are {count} times"
