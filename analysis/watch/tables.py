"""Check an MP4's index before a demuxer makes room for it: every table has to lie in its own box, and stay within caps.

A table says in four bytes how many entries it has, and libav makes room for them (or for the samples they stand for)
before it looks whether the file goes on so long. Tables: ISO/IEC 14496-12, 8.6 to 8.8. What only runs beyond the end of
the file is left to the demuxer: a clip that is cut off is measured as far as it goes.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

import numpy as np

from analysis.watch import caps
from analysis.watch.boxes import boxes
from analysis.watch.errors import ClipError, broken_index, cut_off, too_many_frames

# Boxes that hold boxes, wherever libav looks into them.
HOLDERS = frozenset(
    b"moov trak mdia minf stbl edts dinf mvex moof traf udta meta wave gmhd sinf schi rinf iprp ipco".split()
)
# Boxes of the top level whose content is kept in memory.
READ_WHOLE = frozenset(b"moov moof uuid udta meta pssh".split())
# Bytes of an entry in tables whose count stands behind version and flags.
ENTRY_BYTES = {b"stts": 8, b"ctts": 8, b"stsc": 12, b"stco": 4, b"co64": 8, b"stss": 4, b"stps": 4, b"dref": 8}


@dataclass
class _Track:
    handlers: set[bytes] = field(default_factory=set)
    samples: int = 0  # as listed, or as stts counts them
    shifted: int = 0
    edits: int = 0
    chunks: int = 0
    runs: list[tuple[int, int]] = field(default_factory=list)  # first chunk, samples in each
    references: list[bool] = field(default_factory=list)  # whether each points into this very file
    one_size: bool = False
    one_tick: bool = False  # with one size: uncompressed sound, of which libav lists chunks and not samples


def check(path: Path) -> None:
    """Raise ClipError where the index of the MP4 at `path` can't be true or asks for too much."""
    with path.open("rb") as file:
        checker = _Checker(file, path.stat().st_size)
        checker.walk(0, checker.size, 0)
        checker.judge()


class _Checker:
    def __init__(self, file: BinaryIO, size: int) -> None:
        self.file, self.size = file, size
        self.tracks: list[_Track] = []
        self.seen = 0
        self.in_fragments = 0

    def walk(self, start: int, end: int, depth: int) -> None:
        if depth > caps.MAX_DEPTH:
            raise broken_index()
        for name, inner, claimed_end in boxes(self.file, start, end):
            self.seen += 1
            if self.seen > caps.MAX_BOXES:
                raise broken_index()
            if depth == 0 and name in READ_WHOLE:
                self._look_at_size(name, claimed_end - inner, claimed_end)
            self._look(name, inner, min(claimed_end, end), depth)

    def judge(self) -> None:
        for track in self.tracks:
            _judge(track, self.size)

    def _look_at_size(self, name: bytes, length: int, end: int) -> None:
        if name == b"moov" and end > self.size:
            raise cut_off()
        if length > caps.MAX_INDEX_BYTES:
            raise broken_index()

    def _look(self, name: bytes, start: int, end: int, depth: int) -> None:
        if name in HOLDERS:
            if name == b"trak":
                self._begin_track()
            self.walk(start + self._preface(name, start), end, depth + 1)
        elif name == b"cmov":  # an index packed by zlib: no phone writes it, and nobody can say how large it gets
            raise broken_index()
        elif name == b"trun":
            self._fragment(start, end)
        elif self.tracks:
            self._table(self.tracks[-1], name, start, end)

    def _begin_track(self) -> None:
        self.tracks.append(_Track())
        if len(self.tracks) > caps.MAX_STREAMS:
            raise too_many_streams()

    def _preface(self, name: bytes, start: int) -> int:
        """`meta` starts with version and flags in MP4, and at once with a box in QuickTime."""
        if name != b"meta":
            return 0
        return 0 if self._read(start, 8)[4:8] == b"hdlr" else 4

    def _fragment(self, start: int, end: int) -> None:
        head = self._read(start, 8)
        flags, count = _number(head, 1, 3), _number(head, 4)
        each = 4 * sum(bool(flags & bit) for bit in (0x100, 0x200, 0x400, 0x800))
        self.in_fragments += count
        if count * each > end - start or self.in_fragments > caps.MAX_ENTRIES:
            raise broken_index()

    def _table(self, track: _Track, name: bytes, start: int, end: int) -> None:
        head = self._read(start, 16)
        if name == b"hdlr":
            track.handlers.add(head[8:12])
        elif name in (b"stsz", b"stz2"):
            self._sizes(track, name, head, end - start)
        elif name == b"elst":
            track.edits += _fitting(_number(head, 4), 20 if head[:1] == b"\x01" else 12, end - start)
        elif name in ENTRY_BYTES:
            count = _fitting(_number(head, 4), ENTRY_BYTES[name], end - start)
            self._entries(track, name, start + 8, count)

    def _sizes(self, track: _Track, name: bytes, head: bytes, room: int) -> None:
        size, count = _number(head, 4), _number(head, 8)
        track.samples = max(track.samples, count)
        if name == b"stz2":
            _fitting_bits(count, head[7] if len(head) > 7 else 8, room - 12)
        elif size == 0:
            _fitting_bits(count, 32, room - 12)
        track.one_size = name == b"stsz" and size > 0

    def _entries(self, track: _Track, name: bytes, start: int, count: int) -> None:
        if name in (b"stco", b"co64"):
            track.chunks = max(track.chunks, count)
        elif name == b"dref":
            track.references = self._references(start, count)
        elif name == b"stts":
            counts, ticks = self._columns(start, count, 2)
            track.samples = max(track.samples, int(counts.sum()))
            track.one_tick = count == 1 and int(ticks[0]) == 1
        elif name == b"ctts":
            track.shifted = max(track.shifted, int(self._columns(start, count, 2)[0].sum()))
        elif name == b"stsc":
            first, each, _ = self._columns(start, count, 3)
            track.runs = list(zip(first.tolist(), each.tolist(), strict=True))

    def _columns(self, start: int, count: int, width: int) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
        data = self._read(start, 4 * count * width)
        return np.frombuffer(data, ">u4").astype(np.int64).reshape(-1, width).T

    def _references(self, start: int, count: int) -> list[bool]:
        """Whether each data reference says that the samples lie in this file (flag 1 of 8.7.2)."""
        found = []
        for at, (_, inner, _) in enumerate(boxes(self.file, start, self.size)):
            if at >= min(count, caps.MAX_STREAMS):
                break
            found.append(bool(_number(self._read(inner, 4), 3, 1) & 1))
        return found

    def _read(self, start: int, length: int) -> bytes:
        self.file.seek(start)
        return self.file.read(length)


def too_many_streams() -> ClipError:
    """The refusal of a file with more pictures, sounds and texts side by side than any phone writes."""
    return ClipError("too_large", "This file holds too many streams. Please send the original clip from your phone.")


def _judge(track: _Track, file_size: int) -> None:
    if b"vide" in track.handlers:
        if track.samples > caps.MAX_FRAMES:
            raise broken_index() if track.samples > file_size else too_many_frames()
        if track.references and not any(track.references):
            raise ClipError(
                "elsewhere", "This file only points at another file that holds the film. Please send the clip itself."
            )
    elif track.samples > (caps.MAX_SOUND_SAMPLES if track.one_size and track.one_tick else caps.MAX_ENTRIES):
        raise broken_index()
    if track.shifted > max(track.samples, caps.MAX_ENTRIES):
        raise broken_index()
    if track.edits > caps.FEW_EDITS and track.edits * track.samples > caps.MAX_EDITED:
        raise broken_index()
    if _chunked(track) > 2 * track.samples + caps.MAX_ENTRIES:
        raise broken_index()


def _chunked(track: _Track) -> int:
    """How many samples the chunks hold by their runs: (first chunk, counted from 1; samples in each chunk)."""
    ends = [first for first, _ in [*track.runs, (track.chunks + 1, 0)][1:]]
    spans = zip(track.runs, ends, strict=True)
    return sum(max(0, min(end, track.chunks + 1) - max(1, first)) * each for (first, each), end in spans)


def _fitting(count: int, entry_bytes: int, room: int) -> int:
    if count * entry_bytes > max(0, room - 8):
        raise broken_index()
    return count


def _fitting_bits(count: int, entry_bits: int, room: int) -> None:
    if count * entry_bits > 8 * max(0, room):
        raise broken_index()


def _number(data: bytes, at: int, length: int = 4) -> int:
    return int.from_bytes(data[at : at + length], "big")
