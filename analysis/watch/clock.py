"""The times of a clip's frames: from zero at the first one, always later than the one before, and refused when false."""

from __future__ import annotations

from fractions import Fraction

from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from analysis.watch.caps import MAX_DURATION_S
from analysis.watch.errors import false_times, too_long

MENDED_SHARE = 0.02  # of the frames: more can't be an encoder's slip
MENDED_FEW = 2


class Clock:
    """Reads the frames' times in presentation order.

    A frame without a time, or one not later than the frame before, is put half a step behind it: `mended` counts them.
    """

    def __init__(self, stream: VideoStream) -> None:
        """Start before the first frame."""
        self._base = stream.time_base or Fraction(1, 1)
        rate = stream.average_rate or stream.guessed_rate
        self._step = 0.5 / float(rate) if rate else 1e-3
        self._first: Fraction | None = None
        self._before = -self._step
        self._count = 0
        self.mended = 0

    @property
    def origin_s(self) -> float:
        """The first frame's time in the file's own counting, by which the sound is laid out too; 0 where there is none."""
        return float(self._first or 0)

    def read(self, source: VideoFrame) -> float:
        """Return the time of the next frame in seconds from the first; ClipError when it lies beyond the longest clip."""
        time_s = self._read(source)
        if time_s is None or time_s <= self._before:
            self.mended += self._count > 0 or time_s is None
            time_s = self._before + self._step
        if time_s > MAX_DURATION_S + 1.0:
            raise too_long(time_s)
        self._before = time_s
        self._count += 1
        return time_s

    def refuse_if_false(self) -> None:
        """Raise ClipError when too many frames had to be mended. Ask after the last frame."""
        if self.mended > max(MENDED_FEW, MENDED_SHARE * self._count):
            raise false_times("stand still or run backwards")

    def _read(self, source: VideoFrame) -> float | None:
        if source.pts is None:
            return None
        at = source.pts * (source.time_base or self._base)
        if self._first is None:  # frames before it had no time
            self._first = at - Fraction(self._before + self._step).limit_denominator(10**6)
        return float(at - self._first)
