"""What share of a reading's error stays from swing to swing of a clip, and whether the clip's value then holds.

    python -m tests.lift.shares rows FOLDER USE --out rows.json     reads the clips that `again.py` drew; a minute
    python -m tests.lift.shares fit rows.json                       writes `analysis/read/several.json`; of tuning clips only
    python -m tests.lift.shares judge rows.json                     tells coverage and width; of judging clips

Rows hold for each clip its number, the kind of view, and for each checkpoint [value, half, truth] of every swing: value and half of the
90 % interval after calibration, also where that is too wide to be shown.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np

from analysis.read import book
from analysis.read.book import CHECKPOINTS
from analysis.read.constants import WHOLE
from analysis.read.corrections import parse_corrections
from analysis.read.pipeline import analyse_clip
from analysis.read.readings import calibrated
from analysis.read.several import median_of
from analysis.tracks import Tracks

from .samples import tracks_of
from .spreads import spreads_of
from .store import Kept, load

__all__ = ["held", "rows_of", "shares_of"]

OUT = Path(__file__).parents[2] / "analysis" / "read" / "several.json"
FEW = 8  # clips; of fewer nothing is known
FARTHEST = 3.0  # half widths: one gross error is not all that is heard
NEAR_S = 0.15
UPPER, AGAIN = 0.9, 400  # of the share's bootstrap by clips
Row = dict[str, Any]


def heard(clip: Kept, contacts: np.ndarray) -> Tracks:
    """Its tracks, with the sound of every contact."""
    tracks = tracks_of(clip)
    first = float(clip.contact - clip.times[0])
    late = tracks.sound_peaks_s[0] - first if tracks.sound_peaks_s is not None else 0.0
    assert tracks.sound_time_s is not None
    loud = sum(np.exp(-0.5 * ((tracks.sound_time_s - at - late) / 0.004) ** 2) for at in contacts)
    return replace(
        tracks,
        sound_level=(0.02 + loud).astype(np.float32),
        sound_peaks_s=contacts + late,
        sound_peak_strength=np.ones(len(contacts), np.float32),
    )


def rows_of(path: Path) -> list[Row]:
    """The rows of a file of clips."""
    return [_row(clip) for clip in load(path)]


def _row(clip: Kept) -> Row:
    assert clip.truth is not None
    contacts = np.array(list(clip.truth["contacts"].values())) - clip.times[0]
    tracks = heard(clip, contacts)
    look = analyse_clip(tracks, parse_corrections({"hand": "left" if clip.mirrored else "right"}, tracks.frames))
    read: dict[str, list[list[float]]] = {}
    side = False
    for index, moments in look.perturbed.items():
        contact = look.contexts[index].found["contact"]
        which = int(np.argmin(np.abs(contacts - contact.time))) if contact else -1
        if not contact or abs(contacts[which] - contact.time) > NEAR_S:
            continue
        side, truth = moments.group != "along", clip.truth[f"checkpoints {which}"]
        for name, raw in spreads_of(look, index).items():
            spread = calibrated(book.checkpoint(name), raw, moments.group)
            if name in truth and np.isfinite(spread.half) and spread.half > 0:
                read.setdefault(name, []).append([round(spread.value, 3), round(spread.half, 3), truth[name]])
    return {"clip": clip.number, "kind": "side" if side else "along", "read": read}


def _errors(rows: list[Row], checkpoint: str, kind: str) -> list[np.ndarray]:
    """By clip, the errors of its swings in half widths."""
    every = [np.array(row["read"][checkpoint]) for row in rows if row["kind"] == kind and checkpoint in row["read"]]
    return [np.clip((one[:, 0] - one[:, 2]) / one[:, 1], -FARTHEST, FARTHEST) for one in every if len(one) > 1]


def _by_clip(errors: list[np.ndarray]) -> np.ndarray:
    """[clips, 2] the mean product of two swings' errors, and the mean square of one: once, however often they are drawn again."""
    pairs = [(one.sum() ** 2 - (one**2).sum()) / (len(one) * (len(one) - 1)) for one in errors]
    return np.column_stack([pairs, [np.mean(one**2) for one in errors]])


def _share(clips: np.ndarray) -> float:
    """Mean product of two swings' errors against the mean square of one: what stays, a bias of all clips with it."""
    products, squares = clips.sum(axis=0)
    return float(products / squares)


def shares_of(rows: list[Row]) -> dict[str, dict[str, float]]:
    """By checkpoint and kind of view, the upper limit of the share: the estimate's 90th percentile over clips drawn again."""
    rng = np.random.default_rng(0)
    found: dict[str, dict[str, float]] = {}
    for checkpoint in (entry.id for entry in CHECKPOINTS):
        for kind in ("side", "along"):
            errors = _errors(rows, checkpoint, kind)
            if len(errors) < FEW:
                continue
            clips = _by_clip(errors)
            again = [_share(clips[rng.integers(0, len(clips), len(clips))]) for _ in range(AGAIN)]
            upper = max(float(np.quantile(again, UPPER)), _share(clips), 0.0)
            found.setdefault(checkpoint, {})[kind] = round(min(upper, 1.0), 2)
    return found


def held(
    rows: list[Row], shares: dict[str, dict[str, float]], count: int
) -> dict[str, tuple[int, float, float, float]]:
    """By checkpoint, over every choice of ``count`` swings of a clip: clips, share of single swings' and of the clip's intervals that
    hold the truth, and the width of the clip's against the single swings'.
    """
    told = {}
    for checkpoint in (entry.id for entry in CHECKPOINTS):
        single, together, widths, clips = [], [], [], 0
        for row in rows:
            swings = row["read"].get(checkpoint, [])
            clips += len(swings) >= count
            single += [abs(value - truth) <= half for value, half, truth in swings]
            share = shares.get(checkpoint, {}).get(row["kind"], WHOLE)
            for some in combinations(swings, count):
                _value, (low, high) = median_of([s[0] for s in some], [(s[0] - s[1], s[0] + s[1]) for s in some], share)
                together.append(low <= float(np.median([s[2] for s in some])) <= high)
                widths.append((high - low) / 2 / float(np.mean([s[1] for s in some])))
        if clips:
            told[checkpoint] = clips, float(np.mean(single)), float(np.mean(together)), float(np.median(widths))
    return told


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Fit and judge what several swings of a clip tell.")
    parser.add_argument("do", choices=["rows", "fit", "judge"])
    parser.add_argument("source", type=Path)
    parser.add_argument("use", nargs="?", default="judge")
    parser.add_argument("--out", type=Path)
    wish = parser.parse_args()
    if wish.do == "rows":
        rows = [row for path in sorted(wish.source.glob(f"{wish.use}-again-*.npz")) for row in rows_of(path)]
        wish.out.write_text("[\n" + ",\n".join(json.dumps(row, separators=(",", ":")) for row in rows) + "\n]\n")
        return
    rows = json.loads(wish.source.read_text())
    if wish.do == "fit":
        facts = {"from": f"{len(rows)} drawn clips, upper limits of the share", "common": shares_of(rows)}
        OUT.write_text(json.dumps(facts, indent=1) + "\n")
        return
    shares = json.loads(OUT.read_text())["common"]
    for count in (2, 3):
        print(f"| {count} swings | clips | one swing held | clip held | width |\n|---|--:|--:|--:|--:|")
        for name, (clips, one, together, width) in held(rows, shares, count).items():
            print(f"| {name} | {clips} | {one:.0%} | {together:.0%} | {width:.2f} |")


if __name__ == "__main__":
    main()
