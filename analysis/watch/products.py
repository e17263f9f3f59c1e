"""The files for a browser: review copy, sample table, stills, sound, poster, and a picture of every instant.

All are new encodings of upright pictures: nothing that the phone wrote beside them (place, device, time) is handed on.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any, Self

import cv2
import numpy as np
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace

from analysis.tracks import Tracks
from analysis.watch.again import frames_again
from analysis.watch.container import read_header
from analysis.watch.copy import ReviewCopy, copy_size, sample_table
from analysis.watch.decode import Frame
from analysis.watch.pictures import Picture
from analysis.watch.progress_protocol import Progress, silent
from analysis.watch.sound_copy import NAME as SOUND
from analysis.watch.sound_copy import write_sound
from analysis.watch.stills import Stills, jpeg, pack_ranges

PICTURE_QUALITY = 85
THUMB_PX = 320  # of the longer side
BEFORE_SWING_S, AFTER_SWING_S = 0.3, 0.2
FRAMES_WAITING = 2  # for the encoder, 1.4 MB each
USUAL_FPS = 30.0  # of phones; where a file claims no rate


class Products:
    """Makes the files of `clip` in `folder`: most while it is decoded for watching, the rest when it has been read.

    A thread of its own encodes, for libav and OpenCV let Python go on meanwhile.
    """

    def __init__(self, clip: Path, folder: Path) -> None:
        """Start before the first frame; ClipError where the clip can't be opened."""
        self._clip, self._folder = clip, folder
        self._fps = read_header(clip).nominal_fps or USUAL_FPS
        folder.mkdir(parents=True, exist_ok=True)
        self._stills = Stills(folder)
        self._copy: ReviewCopy | None = None
        self._worker = ThreadPoolExecutor(1)
        self._waiting: deque[Future[None]] = deque()

    def __enter__(self) -> Self:
        """Return the files to be made."""
        return self

    def __exit__(self, kind: type[BaseException] | None, *rest: object) -> None:
        """Take away what is not finished."""
        self._worker.shutdown(cancel_futures=True)
        self._stills.discard()
        if self._copy is not None:
            self._copy.discard()

    def add(self, frame: Frame) -> None:
        """Take the next frame of the clip, from the first to the last; OSError where one before can't be written."""
        size = copy_size(*frame.size)
        if self._copy is None:
            self._copy = ReviewCopy(self._folder / "review.part", size, self._fps)
        self._waiting.append(self._worker.submit(self._encode, self._copy, frame.film(size)))
        while len(self._waiting) > FRAMES_WAITING:
            self._waiting.popleft().result()

    def _encode(self, copy: ReviewCopy, film: VideoFrame) -> None:
        copy.add(film)
        self._stills.add(colours_of(film))

    def finish(self, tracks: Tracks, result: Mapping[str, Any], progress: Progress = silent) -> None:
        """Write all files, from the clip's tracks and its result as JSON. Every frame has been added."""
        while self._waiting:
            self._waiting.popleft().result()
        if self._copy is None:
            raise ValueError("no frame was added")
        progress("copying", 0, 1)
        size = copy_size(tracks.clip["width"], tracks.clip["height"])
        self._copy.finish(self._folder / "review.mp4", tracks.clip["measured_fps"])
        origin_s = self._write_pictures(size, tracks, named_frames(result, tracks.frames))
        is_heard = write_sound(self._clip, self._folder / SOUND, origin_s, tracks.clip["duration_s"])
        table = sample_table(self._folder / "review.mp4", tracks.time_s.tolist())
        packs = self._stills.divide(pack_ranges(tracks.frames, swing_ranges(tracks, result)))
        _write_json(self._folder / "review.samples.json", {**table, "sound": is_heard})
        _write_json(self._folder / "stills.json", {"schema": 1, "width": size[0], "height": size[1], "packs": packs})
        progress("copying", 1, 1)

    def _write_pictures(self, size: tuple[int, int], tracks: Tracks, named: Mapping[int, list[str]]) -> float:
        """Write the pictures of chosen frames, finer than the stills, and return the first frame's time in the file."""
        origin_s = 0.0
        for frame in frames_again(self._clip, sorted(named), tracks.time_s):
            origin_s, picture = frame.origin_s, colours_of(frame.film(size))
            for name in named[frame.index]:
                _write_picture(self._folder, name, picture)
        return origin_s


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
