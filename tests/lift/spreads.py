"""Values and spreads of checkpoints before calibration, however wide: what calibration is fitted to.

A factor of calibration is the 90th percentile of |truth - value| / half over hitters that the lift was not fitted to, after an offset
(the median of truth - value) where there is one.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from analysis.read.book import CHECKPOINTS
from analysis.read.corrections import parse_corrections
from analysis.read.perturbed_swing import Unreadable
from analysis.read.pipeline import ClipAnalysis, analyse_clip
from analysis.read.readings import Spread, spread_of
from analysis.tracks import Tracks

__all__ = ["spreads", "spreads_of"]


def spreads_of(look: ClipAnalysis, index: int) -> dict[str, Spread]:
    """Of one swing of a clip, by checkpoint id; those that this view hides or that were not seen are left out."""
    found = {}
    for entry in CHECKPOINTS:
        if entry.measure is not None:
            try:
                found[entry.id] = spread_of(entry, look.perturbed[index], look.contexts[index].facing.view)
            except Unreadable:
                continue
    return found


def spreads(tracks: Tracks, corrections: Mapping[str, Any] | None = None) -> dict[str, Spread]:
    """Of a clip's first swing, with a coach's corrections."""
    return spreads_of(analyse_clip(tracks, parse_corrections(corrections, tracks.frames)), 0)
