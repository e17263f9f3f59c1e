"""Walk an MP4's boxes without a demuxer: is its index there, and how long does it claim to be?

Boxes are a length, a name and a content (ISO/IEC 14496-12, 4.2); the movie header is in 8.2.2.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO


def has_whole_box(path: Path, wanted: bytes) -> bool:
    """Say whether the file's top level holds the box `wanted` down to its last byte."""
    size = path.stat().st_size
    with path.open("rb") as file:
        return any(name == wanted and end <= size for name, _, end in boxes(file, 0, size))


def goes_to_the_end(path: Path) -> bool:
    """Say whether the last box of the top level ends where the file does, so that nothing of it is missing."""
    size = path.stat().st_size
    with path.open("rb") as file:
        ends = [end for _, _, end in boxes(file, 0, size)]
    return ends[-1:] == [size]


def claimed_duration(path: Path) -> float | None:
    """Return the length in seconds that the movie header claims; None without one, or in another format."""
    size = path.stat().st_size
    with path.open("rb") as file:
        for name, start, end in boxes(file, 0, size):
            if name != b"moov":
                continue
            for inner, inner_start, _ in boxes(file, start, min(end, size)):
                if inner == b"mvhd":
                    return _movie_length(file, inner_start)
    return None


def boxes(file: BinaryIO, start: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Yield (name, start of the content, end) of the boxes that begin between `start` and `end`.

    The end is what the box claims: it may lie beyond `end`. A box that can't be one ends the walk.
    """
    at = start
    while at + 8 <= end:
        file.seek(at)
        head = file.read(16)
        length, header = int.from_bytes(head[:4], "big"), 8
        if length == 1:
            length, header = int.from_bytes(head[8:16], "big"), 16
        if length == 0:
            length = end - at
        if length < header:
            return
        yield head[4:8], at + header, at + length
        at += length


def _movie_length(file: BinaryIO, start: int) -> float | None:
    file.seek(start)
    content = file.read(32)
    if len(content) < 32:
        return None
    if content[0] == 1:  # version 1 has 64-bit times
        scale, length = int.from_bytes(content[20:24], "big"), int.from_bytes(content[24:32], "big")
    else:
        scale, length = int.from_bytes(content[12:16], "big"), int.from_bytes(content[16:20], "big")
    unknown = length in (2**32 - 1, 2**64 - 1)
    return length / scale if scale and not unknown else None
