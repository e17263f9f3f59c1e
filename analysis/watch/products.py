"""The files for a browser: review copy, sample table, stills, sound, poster, and a picture of every instant.

All are new encodings of upright pictures: nothing that the phone wrote beside them (place, device, time) is handed on.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace

from analysis.tracks import Tracks
from analysis.watch.copy import ReviewCopy, copy_size, sample_table
from analysis.watch.decode import Picture, frames
from analysis.watch.memory import give_back
from analysis.watch.progress_protocol import Progress, silent
from analysis.watch.sound_copy import NAME as SOUND
from analysis.watch.sound_copy import write_sound
from analysis.watch.stills import StillPacks, jpeg, pack_ranges

PICTURE_QUALITY = 85
THUMB_PX = 320  # of the longer side
BEFORE_SWING_S, AFTER_SWING_S = 0.3, 0.2


def write_products(
    clip: Path, tracks: Tracks, result: Mapping[str, Any], folder: Path, progress: Progress = silent
) -> None:
    """Write all products of `clip` into `folder`, from its tracks and its result as JSON."""
    give_back()  # what watching needed
    folder.mkdir(parents=True, exist_ok=True)
    size = copy_size(tracks.clip["width"], tracks.clip["height"])
    packs = StillPacks(folder, size, pack_ranges(tracks.frames, swing_ranges(tracks, result)))
    named = named_frames(result, tracks.frames)
    origin_s = 0.0
    with ReviewCopy(folder / "review.mp4", size, tracks.clip["measured_fps"]) as copy:
        for frame in frames(clip):
            film = frame.film(size)
            copy.add(film)
            picture = colours_of(film)
            origin_s = frame.origin_s
            packs.add(frame.index, picture)
            for name in named.get(frame.index, []):
                _write_picture(folder, name, picture)
            progress("copying", frame.index + 1, tracks.frames)
    is_heard = write_sound(clip, folder / SOUND, origin_s, tracks.clip["duration_s"])
    table = sample_table(folder / "review.mp4", tracks.time_s.tolist())
    _write_json(folder / "review.samples.json", {**table, "sound": is_heard})
    _write_json(folder / "stills.json", packs.index())


def swing_ranges(tracks: Tracks, result: Mapping[str, Any]) -> list[tuple[int, int]]:
    """Return the first and last frame of each swing's base pack: the swing and a little around it."""
    time_s, ranges = tracks.time_s, []
    for swing in result["swings"]:
        first = np.searchsorted(time_s, time_s[swing["start_frame"]] - BEFORE_SWING_S)
        last = np.searchsorted(time_s, time_s[swing["end_frame"]] + AFTER_SWING_S)
        ranges.append((int(first), min(int(last), len(time_s) - 1)))
    return ranges


def named_frames(result: Mapping[str, Any], count: int) -> dict[int, list[str]]:
    """Return, by frame, the names of the pictures made of it: instants of swings, and the poster."""
    named: dict[int, list[str]] = {}
    poster = count // 2
    for swing in result["swings"]:
        for instant, moment in swing["instants"].items():
            if moment["frame"] is not None:
                named.setdefault(moment["frame"], []).append(f"{swing['index']}-{instant}")
    for swing in reversed(result["swings"]):
        chosen = swing["instants"]["foot_down"]["frame"]
        poster = swing["start_frame"] if chosen is None else chosen
    named.setdefault(poster, []).append("poster")
    return named


def colours_of(film: VideoFrame) -> Picture:
    """Return a picture that `Frame.film` gave as RGB [H, W, 3]."""
    colours = {"src_colorspace": Colorspace.ITU709, "src_color_range": ColorRange.MPEG}
    return np.asarray(film.reformat(format="rgb24", threads=1, **colours).to_ndarray(), dtype=np.uint8)


def _write_picture(folder: Path, name: str, picture: Picture) -> None:
    if name == "poster":
        (folder / "poster.jpg").write_bytes(jpeg(picture, PICTURE_QUALITY))
        return
    (folder / f"instant-{name}.jpg").write_bytes(jpeg(picture, PICTURE_QUALITY))
    shrink = THUMB_PX / max(picture.shape[:2])
    small = cv2.resize(picture, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA) if shrink < 1 else picture
    (folder / f"thumb-{name}.jpg").write_bytes(jpeg(np.asarray(small, dtype=np.uint8), PICTURE_QUALITY))


def _write_json(path: Path, value: dict[str, Any]) -> None:
    path.write_text(json.dumps(value, allow_nan=False, separators=(",", ":")) + "\n", encoding="utf-8")
