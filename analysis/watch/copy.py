"""The review copy: H.264 that browsers decode frame by frame, and the table that says where each frame lies in it."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
from av.video.codeccontext import VideoCodecContext
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange

GOP = 12
# As like the clip as "veryfast" at 23 or more so, at most half as large again, for two thirds of its time (measured on rendered films).
PRESET, QUALITY = "superfast", "25"  # x264's, and its crf
BT709 = 1  # code point of matrix, primaries and transfer alike (ITU-T H.273)
_OPTIONS = {
    "threads": "1",  # it encodes in a thread of its own: more would only take turns with those that decode
    "preset": PRESET,
    "crf": QUALITY,
    "x264-params": f"keyint={GOP}:min-keyint={GOP}:scenecut=0:bframes=0",
}


class ReviewCopy:
    """Writes upright pictures as H.264: every frame kept, no B-frames, nothing about the phone.

    The rate may be known only after the last picture: what is written lies in `path` until `finish` lays it out as a film.
    """

    def __init__(self, path: Path, size: tuple[int, int], fps: float) -> None:
        """Start the copy; `size` is width and height, both even, fps the rate that the clip claims."""
        self._path = path
        self._file = av.open(str(path), "w", format="mp4", options={"fflags": "+bitexact"})
        stream = self._file.add_stream("libx264", rate=max(1, round(fps)), options=_OPTIONS)
        stream.width, stream.height = size
        stream.pix_fmt, stream.gop_size = "yuv420p", GOP
        self._stream, self._count = stream, 0
        _tag_bt709(stream.codec_context)

    def add(self, film: VideoFrame) -> None:
        """Add an upright picture of the copy's size, as `Frame.film` gives it."""
        film.pts, film.time_base = self._count, 1 / self._stream.codec_context.framerate
        self._count += 1
        self._file.mux(self._stream.encode(film))

    def finish(self, path: Path, fps: float) -> None:
        """Write the film to `path`: no edit list, the index before the pictures, each timestamp the frame's index at a constant rate."""
        self._file.mux(self._stream.encode(None))
        self._file.close()
        _lay_out(self._path, path, max(1, round(fps)))
        self._path.unlink()

    def discard(self) -> None:
        """Take away what is not finished."""
        with suppress(OSError, av.error.FFmpegError):  # a full disk takes no end either, and has been told
            self._file.close()
        self._path.unlink(missing_ok=True)


def _lay_out(written: Path, path: Path, fps: int) -> None:
    how = {"movflags": "+faststart", "use_editlist": "0", "fflags": "+bitexact"}
    with av.open(str(written)) as source, av.open(str(path), "w", format="mp4", options=how) as film:
        stream = film.add_stream_from_template(source.streams.video[0])
        stream.time_base = Fraction(1, fps)
        for index, packet in enumerate(packet for packet in source.demux(video=0) if packet.size):
            packet.stream, packet.time_base = stream, Fraction(1, fps)
            packet.pts = packet.dts = index
            packet.duration = 1
            film.mux(packet)


def copy_size(width: int, height: int) -> tuple[int, int]:
    """Return the copy's even size: within 1280 × 720 (or 720 × 1280), never larger than the clip."""
    scale = min(1.0, 1280 / max(width, height), 720 / min(width, height))
    return max(2, round(width * scale / 2) * 2), max(2, round(height * scale / 2) * 2)


def sample_table(path: Path, time_s: Sequence[float]) -> dict[str, Any]:
    """Return the sample table of the review copy at `path`; ValueError when it does not hold one sample per time.

    Each sample is [byte offset, byte count, 1 for a key frame], in the order of frames.
    """
    with av.open(str(path)) as file:
        stream = file.streams.video[0]
        packets = [packet for packet in file.demux(stream) if packet.size]
        samples = [[packet.pos, packet.size, int(packet.is_keyframe)] for packet in packets]
        description = bytes(stream.codec_context.extradata or b"")
        size = stream.codec_context.width, stream.codec_context.height
    if len(samples) != len(time_s):
        raise ValueError(f"the review copy holds {len(samples)} samples for {len(time_s)} frames")
    return {
        "schema": 1,
        "width": size[0],
        "height": size[1],
        "frames": len(samples),
        "codec": "avc1." + description[1:4].hex(),
        "description": base64.b64encode(description).decode(),
        "time_s": [round(float(time), 6) for time in np.asarray(time_s)],
        "samples": samples,
    }


def _tag_bt709(context: VideoCodecContext) -> None:
    context.colorspace = context.color_primaries = context.color_trc = BT709
    context.color_range = ColorRange.MPEG
