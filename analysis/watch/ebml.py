"""Check a Matroska or WebM file before a demuxer makes room for it: what it keeps beside its pictures has to be small.

Elements are an id, a size and a content (RFC 8794); the ids are those of RFC 9559. Only the first levels are walked;
what can't be an element ends the walk and is left to the demuxer.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from analysis.watch import caps
from analysis.watch.errors import ClipError, broken_index
from analysis.watch.tables import too_many_streams

SEGMENT, TRACKS, CLUSTER = 0x18538067, 0x1654AE6B, 0x1F43B675
TRACK_ENTRY = 0xAE
# What stands beside the pictures: seek head, info, tracks, cues, attachments, chapters, tags.
BESIDE = {0x114D9B74, 0x1549A966, TRACKS, 0x1C53BB6B, 0x1941A469, 0x1043A770, 0x1254C367}
MAX_ELEMENTS = 1_000_000
UNKNOWN = None


def check(path: Path) -> None:
    """Raise ClipError where the Matroska file at `path` asks for too much."""
    size = path.stat().st_size
    with path.open("rb") as file:
        beside = tracks = 0
        for name, start, length in _elements(file, 0, size):
            if name not in BESIDE:
                continue
            beside += size - start if length is UNKNOWN else length
            if beside > caps.MAX_INDEX_BYTES:
                raise ClipError(
                    "broken_index",
                    "This file carries far more beside the film than a phone writes. "
                    "Please send the original clip from your phone again.",
                )
            if name == TRACKS and length is not UNKNOWN:
                tracks += sum(inner == TRACK_ENTRY for inner, _, _ in _elements(file, start, min(size, start + length)))
        if tracks > caps.MAX_STREAMS:
            raise too_many_streams()


def _elements(file: BinaryIO, start: int, end: int) -> Iterator[tuple[int, int, int | None]]:
    """Yield (id, start of the content, its length or UNKNOWN); segments and endless elements are walked into."""
    at = start
    for _ in range(MAX_ELEMENTS):
        if at >= end:
            return
        file.seek(at)
        head = file.read(12)
        name, name_bytes = _number(head, keep_mark=True)
        length, length_bytes = _number(head[name_bytes:], keep_mark=False)
        if not name_bytes or not length_bytes:
            return
        inner = at + name_bytes + length_bytes
        endless = length == 2 ** (7 * length_bytes) - 1
        yield name, inner, UNKNOWN if endless else length
        at = inner if endless or name == SEGMENT else inner + length
    raise broken_index()


def _number(data: bytes, *, keep_mark: bool) -> tuple[int, int]:
    """Read a number of variable length (RFC 8794, 4): its value and its bytes; 0 bytes where there is none."""
    if not data or not data[0]:
        return 0, 0
    width = 9 - data[0].bit_length()
    if len(data) < width:
        return 0, 0
    value = int.from_bytes(data[:width], "big")
    return (value if keep_mark else value & ((1 << (7 * width)) - 1)), width
