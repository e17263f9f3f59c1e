"""The checkpoint book: every thing the coach looks at, in the order of the walk. Nothing else lists
checkpoints.

Words used in the definitions: "line" = the line to the pitcher, "ahead" = toward the pitcher, % = of
standing height unless said otherwise. A knee's bend is 0 when the leg is straight.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from analysis.read.book import contact, extension, finish, foot_down, load, set_up, swing_start
from analysis.read.checkpoint import Band, Checkpoint
from analysis.read.terms import LEVELS

__all__ = ["CHECKPOINTS", "Checkpoint", "band_for", "checkpoint", "checkpoints_at"]

_STOPS: Final = (set_up, load, foot_down, swing_start, contact, extension, finish)
CHECKPOINTS: Final[tuple[Checkpoint, ...]] = tuple(entry for stop in _STOPS for entry in stop.CHECKPOINTS)

_BY_ID: Final = {entry.id: entry for entry in CHECKPOINTS}


def checkpoint(checkpoint_id: str) -> Checkpoint:
    """The entry with this id; KeyError names the ids there are."""
    if checkpoint_id not in _BY_ID:
        raise KeyError(f"The book has no checkpoint {checkpoint_id!r}; it has {', '.join(_BY_ID)}.")
    return _BY_ID[checkpoint_id]


def checkpoints_at(instant: str) -> tuple[Checkpoint, ...]:
    """The checkpoints that belong to one stop of the walk, in the order of the book."""
    return tuple(entry for entry in CHECKPOINTS if entry.instant == instant)


def band_for(entry: Checkpoint, level: str, bands: Mapping[str, Band] | None = None) -> Band:
    """The wanted range: the coach's own where given, else the book's for this level."""
    if level not in LEVELS:
        raise ValueError(f"The level must be one of {', '.join(LEVELS)}, got {level!r}.")
    low, high = (bands or {}).get(entry.id, entry.bands[level])
    return low, high
