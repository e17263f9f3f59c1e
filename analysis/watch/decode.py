"""Decode a clip's frames one by one, upright, each with its exact presentation time."""

from __future__ import annotations

import gc
from collections.abc import Generator, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace, Interpolation
from av.video.stream import VideoStream

from analysis.watch.caps import MAX_FRAMES, MAX_PIXELS, MAX_UNPACKED_PIXELS, packed_too_tightly
from analysis.watch.clock import Clock
from analysis.watch.container import opened, too_many_pixels
from analysis.watch.errors import AGAIN, ClipError, too_heavy, too_many_frames, unpacks
from analysis.watch.orientation import UPRIGHT, Orientation, orientation, turned_over
from analysis.watch.pictures import Picture, halved_film

SAME_SHAPE = 0.02  # of the ratio of sides: how far a picture that changes its size may change its shape
NEW_FILM: Mapping[str, int] = {  # what the converter is asked for besides layout and size
    "dst_colorspace": Colorspace.ITU709,
    "dst_color_range": ColorRange.MPEG,
    "interpolation": Interpolation.BILINEAR | Interpolation.ACCURATE_RND,  # else film of BT.601 comes out darker
}
SQUARE = 0.01  # pixels that are less out of square than this count as square


@dataclass(frozen=True)
class Frame:
    """One decoded frame: its 0-based place in the file, its presentation time and its picture, not yet converted.

    time_s   from the first frame, which lies at `origin_s` in the file's own counting
    mended   how many times were out of order or missing, up to this frame (see `Clock`)
    shape    width and height as stored, in square pixels and the same for every frame of the clip
    """

    index: int
    time_s: float
    key: bool
    source: VideoFrame
    shape: tuple[int, int]
    orientation: Orientation = UPRIGHT
    origin_s: float = 0.0
    mended: int = 0

    @property
    def quarter_turns(self) -> int:
        """Counter-clockwise quarter turns that make the stored picture upright."""
        return self.orientation.quarter_turns

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the upright picture in full pixels."""
        width, height = self.shape
        return (height, width) if self.quarter_turns % 2 else (width, height)

    def rgb(self, scale: float = 1.0) -> Picture:
        """Return the upright picture, uint8 [H, W, 3] red green blue, C-contiguous, shrunk by `scale` (0..1]; 1/2, 1/4, … are cheap."""
        return self._upright("rgb24", scale)

    def gray(self, scale: float = 1.0) -> Picture:
        """Return the upright brightness, uint8 [H, W], C-contiguous, shrunk by `scale` (0..1]."""
        return self._upright("gray", scale)

    def film(self, size: tuple[int, int]) -> VideoFrame:
        """Return the upright picture at exactly `size`, width and height (even), as new film holds it: yuv420p, BT.709, 16..235.

        It holds the picture alone: neither what the file keeps beside it nor the kind of frame that it was.
        """
        stored = self._converted("yuv420p", size[::-1] if self.quarter_turns % 2 else size, NEW_FILM)
        turned = [self.orientation.upright(plane).ravel() for plane in _planes(stored)]
        return VideoFrame.from_ndarray(np.concatenate(turned).reshape(-1, size[0]), format="yuv420p")

    def _upright(self, layout: str, scale: float) -> Picture:
        stored = self._converted(layout, scaled_size(*self.shape, scale), {})
        return self.orientation.upright(np.asarray(stored.to_ndarray(), dtype=np.uint8))

    def _converted(self, layout: str, size: tuple[int, int], how: Mapping[str, int]) -> VideoFrame:
        """Return the picture as it is stored, not turned, in another layout and `size`, width and height."""
        # An explicit matrix: untagged phone film is BT.709 from 720 lines up, BT.601 below; tagged film says it.
        halvings = int(np.log2(min(self.source.width / size[0], self.source.height / size[1])))
        source = (halved_film(self.source, halvings) if halvings > 0 else None) or self.source
        try:  # in one thread: starting more for every picture costs a fifth of the conversion, and the decoder has its own
            return source.reformat(*size, layout, src_colorspace=_matrix(self.source), threads=1, **how)
        except (av.error.FFmpegError, ValueError) as error:
            raise ClipError(
                "not_video", f"The colours of this film are stored in a way that we can't read. {AGAIN}"
            ) from error


def frames(path: Path) -> Generator[Frame]:
    """Yield every frame that decodes, in presentation order; memory stays flat.

    Broken packets are passed over: a cut-off clip gives the frames it still holds. Times start at 0 and strictly increase.
    Raises ClipError where pictures or times are beyond the caps, or the times turn out false after the last frame.
    """
    with opened(path) as (container, stream):
        clock, unpacked = Clock(stream), _Unpacked(path.stat().st_size)
        shape, turned, angle = (0, 0), UPRIGHT, 0
        for index, source in enumerate(decoded(container, stream)):
            if index >= MAX_FRAMES:
                raise too_many_frames()
            unpacked.add(source.width * source.height)
            if index == 0:
                shape = square_shape(source.width, source.height, stream.sample_aspect_ratio)
                turned, angle = orientation(source), source.rotation
            if source.rotation != angle:
                raise turned_over()
            _refuse_another_shape(source, shape, stream.sample_aspect_ratio)
            time_s = clock.read(source)
            yield Frame(index, time_s, bool(source.key_frame), source, shape, turned, clock.origin_s, clock.mended)
            if index == 1:  # the first frame was asked for its side data, and so holds itself (see `orientation`)
                gc.collect()
        clock.refuse_if_false()


class _Unpacked:
    """Counts the pixels that a file unpacks to, and ends it when they are more than any film's."""

    def __init__(self, file_bytes: int) -> None:
        self._file_bytes, self._pixels = file_bytes, 0

    def add(self, pixels: int) -> None:
        if pixels > MAX_PIXELS:
            raise too_many_pixels()
        self._pixels += pixels
        if self._pixels > MAX_UNPACKED_PIXELS:
            raise too_heavy()
        if packed_too_tightly(self._pixels, self._file_bytes):
            raise unpacks()


def square_shape(width: int, height: int, pixel: Fraction | None) -> tuple[int, int]:
    """Return a picture's width and height in square pixels: the longer way of a pixel is kept, the other one shrunk.

    pixel  a stored pixel's width over its height; None, or beyond 1:4 and 4:1, counts as square
    """
    wide = float(pixel) if pixel else 1.0
    if abs(wide - 1.0) < SQUARE or not 0.25 <= wide <= 4.0:
        return width, height
    if wide < 1.0:
        return max(2, round(width * wide / 2) * 2), height
    return width, max(2, round(height / wide / 2) * 2)


def _refuse_another_shape(source: VideoFrame, shape: tuple[int, int], pixel: Fraction | None) -> None:
    """A picture that changes its size is brought to the first one's size; one that changes its shape shows another view."""
    width, height = square_shape(source.width, source.height, pixel)
    if abs(width * shape[1] / (height * shape[0]) - 1.0) > SAME_SHAPE:
        raise ClipError(
            "changing_picture",
            "The picture in this file changes its shape on the way, as if two clips were joined. "
            "Please send one clip of the swing, as your phone recorded it.",
        )


def scaled_size(width: int, height: int, scale: float) -> tuple[int, int]:
    """Return the whole-pixel size of a picture shrunk by `scale`, at least 2 on a side, even numbers below 1."""
    if scale >= 1.0:
        return width, height
    return max(2, round(width * scale / 2) * 2), max(2, round(height * scale / 2) * 2)


def decoded(container: InputContainer, stream: VideoStream) -> Iterator[VideoFrame]:
    """Yield every picture that decodes from where the container stands; broken packets are passed over."""
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


def _planes(film: VideoFrame) -> list[Picture]:
    """Return the planes of a yuv420p picture: brightness [H, W], and both colours [H / 2, W / 2]."""
    data, (width, height) = film.to_ndarray(), (film.width, film.height)
    return [data[:height], *data[height:].reshape(2, height // 2, width // 2)]


def _matrix(source: VideoFrame) -> Colorspace:
    if source.colorspace in (1, 9, 10):  # BT.709; BT.2020 is not a choice of the converter, 709 comes nearest
        return Colorspace.ITU709
    if source.colorspace in (5, 6, 4):
        return Colorspace.ITU601
    return Colorspace.ITU709 if min(source.width, source.height) >= 720 else Colorspace.ITU601
