"""Stills by frame index: JPEG pictures packed in few files, each found by its offset."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from itertools import pairwise
from pathlib import Path
from typing import Any, BinaryIO

import cv2
import numpy as np

from analysis.watch.pictures import Picture

CHUNK = 60  # frames per pack outside swings
LONGEST = 240  # frames per pack within a swing
QUALITY = 66
PART_BYTES = 32 * 2**20


def jpeg(picture: Picture, quality: int) -> bytes:
    """Return an RGB picture [H, W, 3] as JPEG bytes without any metadata."""
    done, data = cv2.imencode(".jpg", cv2.cvtColor(picture, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, quality])
    if not done:
        raise OSError("a still can't be encoded")
    return bytes(np.asarray(data).tobytes())


def pack_ranges(frames: int, swings: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Divide frames 0..frames-1 into packs (first, last), in order and without gaps; no pack reaches into or out of a swing.

    swings  first and last frame (inclusive) of each swing; they may overlap or reach beyond the clip
    """
    inside = np.zeros(frames, dtype=bool)
    for first, last in swings:
        inside[max(0, first) : last + 1] = True
    edges = [0, *(np.flatnonzero(np.diff(inside)) + 1).tolist(), frames]
    ranges: list[tuple[int, int]] = []
    for first, end in pairwise(edges):
        step = LONGEST if inside[first] else CHUNK
        ranges.extend((at, min(at + step, end) - 1) for at in range(first, end, step))
    return ranges


class Stills:
    """Writes stills in frame order, one after the other, and divides them into packs when the swings are known.

    Until then they lie in files of about PART_BYTES, each gone as soon as its last still is in a pack: no file grows with the film,
    and only a little of it lies there twice.
    """

    def __init__(self, folder: Path) -> None:
        """Start without a still; files `stills.0.part`, … lie in `folder` until `divide`."""
        self._folder = folder
        self._parts: list[Path] = []
        self._file: BinaryIO | None = None
        self._stills: list[tuple[Path, int, int]] = []  # where each lies: file, offset and length

    def add(self, picture: Picture) -> None:
        """Add the next frame's still [H, W, 3]."""
        data = jpeg(picture, QUALITY)
        if self._file is None or self._file.tell() >= PART_BYTES:
            self._start_part()
        assert self._file is not None
        self._stills.append((self._parts[-1], self._file.tell(), len(data)))
        self._file.write(data)

    def divide(self, ranges: Sequence[tuple[int, int]]) -> list[dict[str, Any]]:
        """Write the packs of `ranges` (see `pack_ranges`) and tell where each still lies; ValueError where they are not all stills."""
        if [frame for first, last in ranges for frame in range(first, last + 1)] != list(range(len(self._stills))):
            raise ValueError(f"packs of {ranges} are not those of {len(self._stills)} stills")
        self._close()
        packs = []
        for first, last in ranges:
            name, offsets = f"stills-{first}-{last}.pack", [0]
            with (self._folder / name).open("wb") as pack:
                for part, start, length in self._stills[first : last + 1]:
                    pack.write(_piece(part, start, length))
                    offsets.append(pack.tell())
            packs.append({"file": name, "first": first, "last": last, "offsets": offsets})
            still_needed = {part for part, _, _ in self._stills[last + 1 :]}
            self._remove(part for part in list(self._parts) if part not in still_needed)
        return packs

    def discard(self) -> None:
        """Take away what is not divided."""
        with suppress(OSError):  # a full disk, which has been told
            self._close()
        self._remove(list(self._parts))

    def _start_part(self) -> None:
        self._close()
        self._parts.append(self._folder / f"stills.{len(self._parts)}.part")
        self._file = self._parts[-1].open("wb")

    def _close(self) -> None:
        if self._file is not None:
            self._file.close()
            self._file = None

    def _remove(self, parts: Iterable[Path]) -> None:
        for part in parts:
            part.unlink(missing_ok=True)
            self._parts.remove(part)


def _piece(path: Path, start: int, length: int) -> bytes:
    with path.open("rb") as file:
        file.seek(start)
        return file.read(length)
