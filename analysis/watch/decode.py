"""Decode a clip's frames one by one, upright, each with its exact presentation time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.reformatter import Colorspace
from av.video.stream import VideoStream
from numpy.typing import NDArray

from analysis.watch.container import MAX_DURATION_S, opened, too_long
from analysis.watch.errors import ClipError

Picture = NDArray[np.uint8]
MAX_FRAMES = 40_000


@dataclass(frozen=True)
class Frame:
    """One decoded frame: its 0-based place in the file, its presentation time and its picture, not yet converted."""

    index: int
    time_s: float
    key: bool
    source: VideoFrame
    quarter_turns: int

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the upright picture in full pixels."""
        width, height = self.source.width, self.source.height
        return (height, width) if self.quarter_turns % 2 else (width, height)

    def rgb(self, scale: float = 1.0) -> Picture:
        """Return the upright picture, uint8 [H, W, 3] red green blue, C-contiguous, shrunk by `scale` (0..1]."""
        return self._upright("rgb24", scale)

    def gray(self, scale: float = 1.0) -> Picture:
        """Return the upright brightness, uint8 [H, W], C-contiguous, shrunk by `scale` (0..1]."""
        return self._upright("gray", scale)

    def _upright(self, layout: str, scale: float) -> Picture:
        width, height = scaled_size(self.source.width, self.source.height, scale)
        # An explicit matrix: untagged phone film is BT.709 from 720 lines up, BT.601 below; tagged film says it.
        picture = self.source.reformat(width, height, layout, src_colorspace=_matrix(self.source)).to_ndarray()
        return np.ascontiguousarray(np.rot90(picture, self.quarter_turns))


def frames(path: Path) -> Iterator[Frame]:
    """Yield every frame that decodes, in presentation order; memory stays flat.

    Broken packets are passed over: a cut-off clip gives the frames it still holds. Times strictly increase;
    a frame without a time, or not later than the one before, is put just behind it.
    """
    with opened(path) as (container, stream):
        before = -float("inf")
        tick = _tick(stream)
        for index, source in enumerate(_decoded(container, stream)):
            time_s = _time(source, stream)
            if time_s is None or time_s <= before:
                time_s = before + tick if index else 0.0
            _refuse_endless(index, time_s)
            before = time_s
            yield Frame(index, time_s, bool(source.key_frame), source, _quarter_turns(source))


def scaled_size(width: int, height: int, scale: float) -> tuple[int, int]:
    """Return the whole-pixel size of a picture shrunk by `scale`, at least 2 on a side, even numbers below 1."""
    if scale >= 1.0:
        return width, height
    return max(2, round(width * scale / 2) * 2), max(2, round(height * scale / 2) * 2)


def _decoded(container: InputContainer, stream: VideoStream) -> Iterator[VideoFrame]:
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets)
        except StopIteration:
            return
        except av.error.FFmpegError:
            packet = None
        try:
            yield from stream.codec_context.decode(packet)  # None flushes what the decoder still holds
        except av.error.EOFError:
            return
        except av.error.FFmpegError:
            pass
        if packet is None:
            return


def _time(source: VideoFrame, stream: VideoStream) -> float | None:
    if source.pts is None:
        return None
    base = source.time_base or stream.time_base or Fraction(1, 1)
    return float(source.pts * base)


def _tick(stream: VideoStream) -> float:
    rate = stream.average_rate or stream.guessed_rate
    return 0.5 / float(rate) if rate else 1e-3


def _quarter_turns(source: VideoFrame) -> int:
    """Return how many counter-clockwise quarter turns (as np.rot90 counts) make the picture upright."""
    return round(source.rotation / 90) % 4


def _matrix(source: VideoFrame) -> Colorspace:
    if source.colorspace in (1, 9, 10):  # BT.709; BT.2020 is not a choice of the converter, 709 comes nearest
        return Colorspace.ITU709
    if source.colorspace in (5, 6, 4):
        return Colorspace.ITU601
    return Colorspace.ITU709 if min(source.width, source.height) >= 720 else Colorspace.ITU601


def _refuse_endless(index: int, time_s: float) -> None:
    if time_s > MAX_DURATION_S + 1.0:
        raise too_long(time_s)
    if index >= MAX_FRAMES:
        raise ClipError("too_long", "This clip holds too many frames. Please trim it to the swings and send it again.")
