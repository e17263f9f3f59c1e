"""Judge what reading says of drawn swings against their truth.

    python -m tests.lift.judge [--data FOLDER] [--use judge|tune] [--out FILE]

Judging opens judge-* only: hitters, recorded people and swings that nothing was fitted to. Without ``--data`` it opens the sample
that is kept in the repository.
"""

from __future__ import annotations

import argparse
import multiprocessing
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.read import read

from .samples import tracks_of
from .store import Kept, load

__all__ = ["Row", "rows_of", "table"]

SAMPLE = Path(__file__).parent / "data" / "judge-sample.npz"
FRAME_S = 1 / 60


@dataclass(frozen=True)
class Row:
    """One value beside its truth. ``half`` half the width of the 90 % interval; None for a value that was not readable."""

    clip: int
    group: str  # side, along, or between
    name: str
    value: float | None
    half: float
    truth: float


def group_of(azimuth: float) -> str:
    """Where the camera stood: at a side, along the line, or between."""
    off = abs((azimuth + 180) % 360 - 180)
    if abs(off - 90) <= 35:
        return "side"
    return "along" if off <= 35 or off >= 145 else "between"


def rows_of(path: Path) -> list[Row]:
    """What is read in the clips of a file."""
    rows = []
    for clip in load(path):
        if clip.kind == 0 and clip.truth is not None:
            rows += _of(clip)
        else:
            found = read(tracks_of(clip)).swings
            rows.append(Row(clip.number, "none", "swings found", float(len(found)), 0.0, 0.0))
    return rows


def _of(clip: Kept) -> list[Row]:
    assert clip.truth is not None
    group, tracks = group_of(clip.azimuth), tracks_of(clip)
    instants, truth = clip.truth["instants"], clip.truth["checkpoints"]
    hand = "left" if clip.mirrored else "right"
    result = read(tracks)
    rows = [
        Row(clip.number, group, "swings found", float(len(result.swings)), 0.0, 1.0),
        Row(clip.number, group, "hand right", float(result.film.hand == hand), 0.0, 1.0),
    ]
    if len(result.swings) != 1:
        return rows
    swing = result.swings[0]
    for name, moment in swing.instants.items():
        true = instants[name] - float(clip.times[0])
        half = (moment.interval_s[1] - moment.interval_s[0]) / 2 if moment.interval_s else 0.0
        rows.append(Row(clip.number, group, f"at {name}", moment.time_s, half, true))
    for reading in swing.readings:
        if reading.checkpoint in truth:
            half = (reading.interval[1] - reading.interval[0]) / 2 if reading.interval else 0.0
            rows.append(Row(clip.number, group, reading.checkpoint, reading.value, half, truth[reading.checkpoint]))
    return rows


def gather(files: list[Path], processes: int) -> list[Row]:
    """Rows of all files."""
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        return [row for part in pool.map(rows_of, files, chunksize=1) for row in part]


def table(rows: list[Row]) -> str:
    """One line for each name and kind of view, as Markdown."""
    by: dict[tuple[str, str], list[Row]] = defaultdict(list)
    for row in rows:
        by[row.name, row.group].append(row)
    lines = [
        "| what | view | n | read | bias | mean abs. error | median | 90 % held | half width |",
        "|---|---|--:|--:|--:|--:|--:|--:|--:|",
    ]
    for (name, group), own in sorted(by.items()):
        known = [row for row in own if row.value is not None]
        off = np.array([row.value - row.truth for row in known if row.value is not None])
        if name.startswith("at "):
            off = off / FRAME_S
        scale = FRAME_S if name.startswith("at ") else 1.0
        half = np.array([row.half for row in known]) / scale
        told = "| | | |"
        if len(off):
            held = np.mean(np.abs(off) <= half)
            size = np.abs(off)
            told = f"{off.mean():.1f} | {size.mean():.1f} | {np.median(size):.1f} | {held:.0%} | {np.median(half):.1f}"
        lines.append(f"| {name} | {group} | {len(own)} | {len(known) / len(own):.0%} | {told} |")
    return "\n".join(lines)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Judge readings of drawn swings.")
    parser.add_argument(
        "--data", type=Path, default=SAMPLE.parent, help="folder of judge-*.npz; the committed sample without"
    )
    parser.add_argument("--use", choices=["judge", "tune"], default="judge")
    parser.add_argument("--out", type=Path)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    told = table(gather(sorted(wish.data.glob(f"{wish.use}-*.npz")), wish.processes))
    print(told)
    if wish.out:
        wish.out.write_text(told + "\n")


if __name__ == "__main__":
    main()
