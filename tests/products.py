"""The browser's files of a clip whose tracks are there: what measuring makes of both in one go."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from analysis.tracks import Tracks
from analysis.watch.decode import frames
from analysis.watch.products import Products


def write_products(clip: Path, tracks: Tracks, result: Mapping[str, Any], folder: Path) -> None:
    """Write all files of `clip` into `folder`, from its tracks and its result as JSON."""
    with Products(clip, folder) as made:
        for frame in frames(clip):
            made.add(frame)
        made.finish(tracks, result)
