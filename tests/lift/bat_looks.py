"""From drawn clips of bats to what the bat's network looks at and what it should answer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np

from analysis.watch.background import Backdrop
from analysis.watch.batwatch import BatWatcher
from analysis.watch.region import Region

from .bats import Seen, load
from .clips import height_error

__all__ = ["looks_of", "watched", "watcher_of"]


def watcher_of(seen: Seen, rng: np.random.Generator | None = None, **kinds: Any) -> tuple[BatWatcher, float]:
    """A watcher that has taken the clip, and the standing height it was told, px; with ``rng`` the hands are moved at random."""
    off = rng.normal(0, 0.10) if rng is not None else height_error(seen.number)
    height = seen.height * float(np.exp(off))
    watcher = BatWatcher(height, _backdrop(seen), **kinds)
    steps = np.concatenate([np.eye(3)[None]] * len(seen.times))
    steps[:, :2, 2] = -seen.steps[: len(seen.times)]
    if rng is not None and rng.random() < 0.15:
        watcher = BatWatcher(height, None, **kinds)
    middle = np.nanmedian(seen.keypoints[:, [23, 24]], axis=(0, 1))
    for k, (time, picture) in enumerate(zip(seen.times, seen.pictures, strict=True)):
        points = seen.keypoints[k].copy()
        if rng is not None:
            wide = 0.10 if rng.random() < 0.15 else 0.02
            points[15:23] += rng.normal(0, wide, 2) * height
        watcher.take(
            k, float(time), np.ascontiguousarray(picture), 1.0, Region(*middle, 1.1 * height), steps[k], points
        )
    return watcher, height


def _backdrop(seen: Seen) -> Backdrop | None:
    rng = np.random.default_rng([92, seen.number])
    if rng.random() < 0.15:
        return None
    stack = np.concatenate([seen.others, seen.pictures[:: max(1, len(seen.pictures) // 6)]])
    known = np.full(stack.shape[1:3], 255, np.uint8)
    if rng.random() < 0.3:  # a panning camera: an edge was not seen often enough
        known[:, : int(rng.uniform(0, 0.4) * known.shape[1])] = 0
        known = known[:, ::-1].copy() if rng.random() < 0.5 else known
    return Backdrop(np.median(stack, axis=0).astype(np.uint8), known, np.eye(3))


def looks_of(path: Path, rng: np.random.Generator | None = None) -> Iterator[SimpleNamespace]:
    """Of each frame of a clip: look [C, A, R], hands [2] px, height px, bat [2, 2] from the hands in standing heights or NaN."""
    seen = load(path)
    watcher, height = watcher_of(seen, rng)
    watcher.finish()
    for index, patch in sorted(watcher.patches.items()):
        if patch is not None:
            bat = (seen.bat[index] - patch.hands) / height
            yield SimpleNamespace(number=seen.number, frame=index, time=seen.times[index], look=patch.look, bat=bat)


def watched(path: Path) -> tuple[Seen, np.ndarray, np.ndarray, float]:
    """A clip with the lines that watching gives: bat [F, 2, 2] and certainty [F]; and the height, px, it measures by."""
    seen = load(path)
    watcher, _ = watcher_of(seen)
    return seen, *watcher.lines(len(seen.times)), seen.height
