"""Look at a few frames once more, from the key picture before each instead of from the film's beginning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import av
import numpy as np
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream
from numpy.typing import NDArray

from analysis.watch.container import opened
from analysis.watch.decode import Frame, decoded, frames
from analysis.watch.memory import give_back

Times = NDArray[np.floating]

BEFORE_S = 0.25  # the jump aims so much earlier: a picture shown before its key picture can't be made from it
SAME_S = 1e-6
NEAR_S = 1.0  # a frame as near as this is reached by going on: there are few key pictures nearer


def frames_again(path: Path, wanted: Sequence[int], time_s: Times) -> Iterator[Frame]:
    """Yield the frames of the indices `wanted`, in rising order and each once, as `frames` gives them.

    time_s  [F] the times of all frames, as `frames` told them

    Every frame on the way from a key picture is held against these times. Where they disagree (files with false times, or
    without an index), the film is decoded from its beginning.
    """
    left = sorted(set(wanted))
    try:
        for frame in _by_jumps(path, tuple(left), time_s):
            yield frame
            left.remove(frame.index)
    except _LostError:
        for frame in frames(path):
            if left and frame.index == left[0]:
                yield frame
                left.remove(frame.index)
            if not left:
                return


class _LostError(Exception):
    """A jump came down where the times known do not tell which frame it is."""


def _by_jumps(path: Path, wanted: Sequence[int], time_s: Times) -> Iterator[Frame]:
    if not wanted:
        return
    first = _first(path)
    with opened(path) as (container, stream):
        way: Iterator[tuple[int, VideoFrame]] = iter(())
        at = -1
        for index in wanted:
            if at < 0 or time_s[index] - time_s[at] > NEAR_S:
                way = _from_key_picture(container, stream, index, time_s, first.origin_s)
            source = next((source for at, source in way if at == index), None)
            if source is None:
                raise _LostError
            at = index
            yield replace(first, index=index, time_s=float(time_s[index]), key=bool(source.key_frame), source=source)


def _first(path: Path) -> Frame:
    """Return what the first frame tells of all: shape, orientation, origin. Its decoder is let go: at 4K it holds 150 MB."""
    film = frames(path)
    first = replace(next(film), source=VideoFrame(2, 2, "gray"))
    film.close()
    give_back()
    return first


def _from_key_picture(
    container: InputContainer, stream: VideoStream, wanted: int, time_s: Times, origin_s: float
) -> Iterator[tuple[int, VideoFrame]]:
    """Yield index and picture of every frame from a key picture before `wanted` on; _LostError where one is not as expected."""
    base = float(stream.time_base or 0)
    if base <= 0:
        raise _LostError
    try:
        container.seek(int((max(0.0, float(time_s[wanted]) - BEFORE_S) + origin_s) / base), stream=stream)
    except av.error.FFmpegError as error:
        raise _LostError from error
    index = -1
    for source in decoded(container, stream):
        if source.pts is None or source.is_corrupt:
            raise _LostError
        here_s = float(source.pts * (source.time_base or 0)) - origin_s
        if index < 0:
            index = int(np.argmin(np.abs(time_s - here_s)))
            if index > wanted or not source.key_frame:
                raise _LostError
        if index >= len(time_s) or abs(time_s[index] - here_s) > SAME_S:
            raise _LostError
        yield index, source
        index += 1
