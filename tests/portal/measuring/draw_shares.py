"""What share of an error surely stays from swing to swing of a clip: the lower limits that `portal/measuring/change.py` goes by.

    python -m tests.portal.measuring.draw_shares      writes `portal/measuring/change.json`, of tuning clips only

A median is no surer than the *upper* limit of that share allows (`analysis/read/several.json`); a difference, in which the share
cancels, is no surer than the *lower* one. To be drawn anew with the former (`tests/lift/shares.py`, whose rows are taken).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from analysis.read import CHECKPOINTS

ROOT = Path(__file__).resolve().parents[3]
ROWS = ROOT / "tests" / "lift" / "data"
OUT = ROOT / "portal" / "measuring" / "change.json"
FEW = 8  # clips; of fewer nothing is known, and nothing cancels
FARTHEST = 3.0  # half widths: one gross error is not all that is heard
LOWER, AGAIN = 0.1, 400  # of the share's bootstrap by clips


def rows(use: str) -> list[dict[str, Any]]:
    return json.loads((ROWS / f"again-{use}.json").read_text())


def shares_of(clips: list[dict[str, Any]]) -> dict[str, dict[str, float]]:
    """By checkpoint and kind of view, the 10th percentile of the share over clips drawn again, never below 0."""
    random, found = np.random.default_rng(0), {}
    for checkpoint in (entry.id for entry in CHECKPOINTS):
        for kind in ("side", "along"):
            every = errors(clips, checkpoint, kind)
            if len(every) < FEW:
                continue
            told = by_clip(every)
            again = [share(told[random.integers(0, len(told), len(told))]) for _ in range(AGAIN)]
            lower = min(float(np.quantile(again, LOWER)), share(told))
            found.setdefault(checkpoint, {})[kind] = round(float(np.clip(lower, 0.0, 1.0)), 2)
    return found


def errors(clips: list[dict[str, Any]], checkpoint: str, kind: str) -> list[np.ndarray]:
    """By clip, the errors of its swings in half widths."""
    held = [np.array(clip["read"].get(checkpoint, [])) for clip in clips if clip["kind"] == kind]
    return [np.clip((one[:, 0] - one[:, 2]) / one[:, 1], -FARTHEST, FARTHEST) for one in held if len(one) > 1]


def by_clip(every: list[np.ndarray]) -> np.ndarray:
    """[clips, 2] the mean product of two swings' errors, and the mean square of one: once, however often they are drawn again."""
    pairs = [(one.sum() ** 2 - (one**2).sum()) / (len(one) * (len(one) - 1)) for one in every]
    return np.column_stack([pairs, [np.mean(one**2) for one in every]])


def share(clips: np.ndarray) -> float:
    """Mean product of two swings' errors against the mean square of one."""
    products, squares = clips.sum(axis=0)
    return float(products / squares)


if __name__ == "__main__":
    drawn = rows("tune")
    about = {"from": f"{len(drawn)} drawn clips, lower limits of the share", "common": shares_of(drawn)}
    OUT.write_text(json.dumps(about, indent=1) + "\n")
