"""Stills by frame index: JPEG pictures packed in few files, each found by its offset."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from analysis.watch.pictures import Picture

CHUNK = 60  # frames per pack outside swings
LONGEST = 240  # frames per pack within a swing
QUALITY = 66


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
    """Writes stills in frame order, one after the other in one file, and divides them into packs when the swings are known."""

    def __init__(self, folder: Path) -> None:
        """Start without a still; the file `stills.part` lies in `folder` until `divide`."""
        self._folder, self._path = folder, folder / "stills.part"
        self._file, self._offsets = self._path.open("w+b"), [0]

    def add(self, picture: Picture) -> None:
        """Add the next frame's still [H, W, 3]."""
        self._file.write(jpeg(picture, QUALITY))
        self._offsets.append(self._file.tell())

    def divide(self, ranges: Sequence[tuple[int, int]]) -> list[dict[str, Any]]:
        """Write the packs of `ranges` (see `pack_ranges`) and tell where each still lies; ValueError where they are not all stills."""
        if [frame for first, last in ranges for frame in range(first, last + 1)] != list(range(len(self._offsets) - 1)):
            raise ValueError(f"packs of {ranges} are not those of {len(self._offsets) - 1} stills")
        self._file.seek(0)
        packs = []
        for first, last in ranges:
            name, start = f"stills-{first}-{last}.pack", self._offsets[first]
            (self._folder / name).write_bytes(self._file.read(self._offsets[last + 1] - start))
            offsets = [offset - start for offset in self._offsets[first : last + 2]]
            packs.append({"file": name, "first": first, "last": last, "offsets": offsets})
        self.discard()
        return packs

    def discard(self) -> None:
        """Take the undivided file away."""
        self._file.close()
        self._path.unlink(missing_ok=True)
