"""Judge what reading says of drawn swings against their truth, and fit the factors of its intervals.

    python -m tests.lift.judge [--data FOLDER] [--calibrate] [--slowed] [--use judge|tune|calibrate] [--out FILE]

Judging opens judge-* only: hitters, recorded people and swings that nothing was fitted or calibrated to. ``--calibrate`` opens tune-*
(or, with ``--use``, others) instead and writes factors and offsets into `analysis/read/lift.npz`: for each checkpoint and kind of view,
with and without home plate in sight, how much wider the spread must be so that nine tenths of the truths lie within.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from analysis.read import read
from analysis.read.constants import Z_90
from analysis.read.corrections import parse_corrections
from analysis.read.groups import GROUPS, with_plate, without_plate
from analysis.read.groups import group_of as group_by_line
from analysis.read.pipeline import analyse_clip
from analysis.read.swing_search import SwingSearch, search_swings
from analysis.tracks import Tracks

from .calibrating import HOLDS, conformal, taught_by
from .samples import slowed, tracks_of
from .seen import bat_seen, plate_seen
from .spreads import spreads_of
from .store import Kept, load

__all__ = ["Row", "rows_of", "slowed_rows_of", "table"]

SAMPLE = Path(__file__).parent / "data" / "judge-sample.npz"
LIFT = Path(__file__).parents[2] / "analysis" / "read" / "lift.npz"
FRAME_S = 1 / 60
FEW = 20
# What the facts beside the parameters hold of the intervals, and what each is in `Taught`.
FACTS = {
    "calibration": "factor", "offsets": "offset", "usual": "usual", "stretch": "stretch", "centre": "centre", "spread": "spread",
}  # fmt: skip
# How an instant is told before calibration, and what its row is called then.
RAW = {"measured": "at", "sound": "heard"}


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
    """Where the camera truly stood: at a side, along the line, or between."""
    return group_by_line(azimuth + 90.0)


def rows_of(path: Path, raw: bool, heard: bool = True) -> list[Row]:
    """What is read in the clips of a file; ``raw`` before calibration and however wide, ``heard`` with the sound of contact."""
    rows = []
    for clip in load(path):
        if clip.kind == 0 and clip.truth is not None:
            rows += _of(clip, tracks_of(clip if heard else replace(clip, contact=float("nan"))), raw)
            if raw and heard:
                rows += _with_more_seen(clip)
        elif not raw and clip.kind != 0:
            found = sought(tracks_of(clip)).swings
            group = f"no swing: {next(iter((clip.truth or {}).get('act', {})), 'recorded')}"
            rows.append(Row(clip.number, group, "swings found", float(len(found)), 0.0, 0.0))
    return rows


def _with_more_seen(clip: Kept) -> list[Row]:
    """What is read once bat and plate are seen: the bat, which does not go by the line, and what a plate makes surer."""
    rows = _of(clip, plate_seen(clip, bat_seen(clip, tracks_of(clip))), True)
    bat = [replace(row, group=without_plate(row.group)) for row in rows if row.name == "down_bat_angle"]
    return bat + [row for row in rows if row.group not in GROUPS and row.name != "down_bat_angle"]


def sought(tracks: Tracks) -> SwingSearch:
    """What is found in a clip before anything is measured."""
    return search_swings(tracks, parse_corrections(None, tracks.frames))


def slowed_rows_of(path: Path, most: int = 1000) -> list[Row]:
    """Of the first swings of a file, at how many times slower than life each is found when its film is slowed down."""
    rows: list[Row] = []
    for clip in load(path):
        if clip.kind == 0 and len(rows) < 4 * most:
            for factor in (1, 2, 4, 8):
                tracks = tracks_of(clip)
                found = sought(slowed(tracks, factor) if factor > 1 else tracks)
                told = found.motion.slowdown if found.swings else None
                rows.append(Row(clip.number, f"x {factor}", "times slower", told, 0.0, float(factor)))
    return rows


def _of(clip: Kept, tracks: Tracks, raw: bool) -> list[Row]:
    assert clip.truth is not None
    group = group_of(clip.azimuth)
    instants, truth = clip.truth["instants"], clip.truth["checkpoints"]
    hand = "left" if clip.mirrored else "right"
    if raw:
        # Calibration goes by how the line runs, as reading does, not by where the camera truly stood.
        look = analyse_clip(tracks, parse_corrections({"hand": hand}, tracks.frames))
        if len(look.perturbed) != 1:
            return []
        index, only = next(iter(look.perturbed.items()))
        group = only.group
        own = spreads_of(look, index)
        return [
            *(
                Row(
                    clip.number, group, f"{RAW[found.source]} {name}", found.time, Z_90 * found.sd, instants[name] - float(clip.times[0]),
                )
                for name, found in look.contexts[index].found.items()
                if found and found.source in RAW
            ),
            *(
                Row(clip.number, group, name, spread.value, spread.half, truth[name])
                for name, spread in own.items()
                if name in truth
            ),
        ]
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


def gather(files: list[Path], raw: bool, processes: int, heard: bool = True) -> list[Row]:
    """Rows of all files."""
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        return [
            row for part in pool.starmap(rows_of, [(file, raw, heard) for file in files], chunksize=1) for row in part
        ]


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


def taught(rows: list[Row], evenly: bool) -> dict[str, dict[str, dict[str, float]]]:
    """What calibration gives by name and group of views, ``evenly`` or not (`taught_by`).

    A group with too few readings goes by those of all views together.
    """
    every: dict[str, dict[str, dict[str, float]]] = {what: defaultdict(dict) for what in FACTS}
    for name in sorted({row.name for row in rows}):
        for group in (*GROUPS, *map(with_plate, GROUPS)):
            known = [row for row in rows if row.name == name and row.value is not None]
            near = [row for row in known if row.group == group]
            near = near if len(near) >= FEW else known
            if len(near) < FEW:
                continue
            values, halves, truths = np.array([(row.value, row.half, row.truth) for row in near]).T
            by = taught_by(values, halves, truths, evenly)
            for what, part in FACTS.items():
                every[what][name][group] = round(getattr(by, part), 3)
    return every


def heard_factors(rows: list[Row]) -> dict[str, float]:
    """By group of views, how much wider a contact that was heard must be; no offset, for how late a crack comes is each phone's own."""
    ratio = {row: abs(row.value - row.truth) / row.half for row in rows if row.value is not None}
    factors = {}
    for group in GROUPS:
        near = [each for row, each in ratio.items() if row.group == group]
        factors[group] = round(conformal(np.array(near if len(near) >= FEW else list(ratio.values())), HOLDS), 3)
    return factors


def calibrate(files: list[Path], processes: int) -> dict[str, object]:
    """Teach the intervals of the instants, then of contact where it is heard, then of the readings; gives what was taught."""
    _put({what: {} for what in FACTS}, {"factors": {}, "offsets": {}, "heard": {}})
    rows = gather(files, True, processes, heard=False)
    when = taught([replace(row, name=row.name[3:]) for row in rows if row.name.startswith("at ")], evenly=False)
    _put({}, {"factors": when["calibration"], "offsets": when["offsets"]})
    rows = gather(files, True, processes)
    _put({}, {"heard": {"contact": heard_factors([row for row in rows if row.name == "heard contact"])}})
    rows = gather(files, True, processes)
    told = taught([row for row in rows if not row.name.startswith(("at ", "heard "))], evenly=True)
    return _put({what: {name: _needed(by) for name, by in facts.items()} for what, facts in told.items()}, {})


def _needed(by: Mapping[str, float]) -> dict[str, float]:
    """What a checkpoint was taught by group, without what a plate in sight does not change."""
    return {group: value for group, value in by.items() if group in GROUPS or value != by.get(without_plate(group))}


def _put(facts: Mapping[str, object], instants: Mapping[str, object]) -> dict[str, object]:
    """Write facts of the readings and of the instants beside the parameters; gives all of them."""
    with np.load(LIFT) as kept:
        data = {name: kept[name] for name in kept.files}
    every: dict[str, object] = json.loads(str(data["facts"])) | dict(facts)
    every["instants"] = every["instants"] | dict(instants)  # type: ignore[operator]
    np.savez_compressed(LIFT, **(data | {"facts": np.array(json.dumps(every))}))
    return every


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Judge readings, or calibrate their intervals.")
    parser.add_argument(
        "--data", type=Path, default=SAMPLE.parent, help="folder of judge-*.npz; the committed sample without"
    )
    parser.add_argument("--use", choices=["judge", "tune", "calibrate"], help="judge; with --calibrate tune")
    parser.add_argument("--calibrate", action="store_true")
    parser.add_argument(
        "--slowed", action="store_true", help="only tell at which speed swings of slowed films are found"
    )
    parser.add_argument("--out", type=Path)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    use = wish.use or ("tune" if wish.calibrate else "judge")
    files = sorted(wish.data.glob(f"{use}-*.npz"))
    if wish.calibrate:
        print(json.dumps(calibrate(files, wish.processes), indent=1))
        return
    if wish.slowed:
        with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
            rows = [row for part in pool.imap(slowed_rows_of, files, chunksize=1) for row in part]
    else:
        rows = gather(files, False, wish.processes)
    told = table(rows)
    print(told)
    if wish.out:
        wish.out.write_text(told + "\n")


if __name__ == "__main__":
    main()
