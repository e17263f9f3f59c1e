"""The checkpoint book, as the rest of the portal sees it."""

from __future__ import annotations

from analysis.read import INSTANTS
from analysis.read.book import CHECKPOINTS, Checkpoint, checkpoint, checkpoints_at

__all__ = ["CHECKPOINTS", "IDS", "INSTANTS", "Checkpoint", "checkpoint", "checkpoints_at"]

IDS = tuple(entry.id for entry in CHECKPOINTS)
