"""Stills by frame index: JPEG pictures packed in few files, each found by its offset."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from analysis.watch.decode import Picture

CHUNK = 60  # frames per pack outside swings
LONGEST = 240  # frames per pack within a swing
SWING_QUALITY, OTHER_QUALITY = 68, 60


def jpeg(picture: Picture, quality: int) -> bytes:
    """Return an RGB picture [H, W, 3] as JPEG bytes without any metadata."""
    done, data = cv2.imencode(".jpg", cv2.cvtColor(picture, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, quality])
    if not done:
        raise OSError("a still can't be encoded")
    return bytes(np.asarray(data).tobytes())


def pack_ranges(frames: int, swings: Sequence[tuple[int, int]]) -> list[tuple[int, int, bool]]:
    """Divide frames 0..frames-1 into packs (first, last, within a swing), in order and without gaps.

    swings  first and last frame (inclusive) of each swing; they may overlap or reach beyond the clip
    """
    inside = np.zeros(frames, dtype=bool)
    for first, last in swings:
        inside[max(0, first) : last + 1] = True
    edges = [0, *(np.flatnonzero(np.diff(inside)) + 1).tolist(), frames]
    ranges: list[tuple[int, int, bool]] = []
    for first, end in pairwise(edges):
        step = LONGEST if inside[first] else CHUNK
        ranges.extend((at, min(at + step, end) - 1, bool(inside[first])) for at in range(first, end, step))
    return ranges


class StillPacks:
    """Writes stills in frame order into their packs under `folder`."""

    def __init__(self, folder: Path, size: tuple[int, int], ranges: Sequence[tuple[int, int, bool]]) -> None:
        """Start with the packs' ranges from `pack_ranges`."""
        self._folder, self._size = folder, size
        self._ranges = list(ranges)
        self._data, self._offsets, self._packs = bytearray(), [0], list[dict[str, Any]]()

    def add(self, index: int, picture: Picture) -> None:
        """Add the still [H, W, 3] of frame `index`; every frame, in order."""
        first, last, within = self._ranges[len(self._packs)]
        if index != first + len(self._offsets) - 1:
            raise ValueError(f"expected the still of frame {first + len(self._offsets) - 1}, got {index}")
        self._data += jpeg(picture, SWING_QUALITY if within else OTHER_QUALITY)
        self._offsets.append(len(self._data))
        if index == last:
            self._close(first, last)

    def index(self) -> dict[str, Any]:
        """Return what `stills.json` holds; ValueError while stills are missing."""
        if len(self._packs) != len(self._ranges):
            raise ValueError("stills are missing")
        return {"schema": 1, "width": self._size[0], "height": self._size[1], "packs": self._packs}

    def _close(self, first: int, last: int) -> None:
        name = f"stills-{first}-{last}.pack"
        (self._folder / name).write_bytes(self._data)
        self._packs.append({"file": name, "first": first, "last": last, "offsets": self._offsets})
        self._data, self._offsets = bytearray(), [0]
