"""Open judged clips (`tests/lift/README.md` tells what they are), read them, and lay what was read beside the truth."""

from __future__ import annotations

import multiprocessing
from dataclasses import replace
from functools import reduce
from itertools import starmap
from pathlib import Path

import numpy as np

from analysis.read import CHECKPOINTS, INSTANTS, Result, read
from analysis.read.checkpoint import Band
from analysis.tracks import Tracks
from analysis.validate.judged import Counted, Judged, Timed, Told
from tests.lift.judge import group_of
from tests.lift.numbers import DEEDS
from tests.lift.samples import tracks_of
from tests.lift.seen import bat_seen, plate_seen
from tests.lift.store import Kept, load

__all__ = ["SAMPLE", "about", "files_of", "judge_all", "judge_clip", "thinned"]

SAMPLE = Path(__file__).parents[2] / "tests" / "lift" / "data"
KINDS = (
    "swing",
    "recorded motion without a swing",
    "joints moved at random",
    "takes, checks, bunts, throws and the like",
)
DEEDS_BY_ANOTHER = "what else players do, by another hand"
# With nothing wanted hardly any interval is too wide to be told.
NOTHING_WANTED: dict[str, Band] = {entry.id: (None, None) for entry in CHECKPOINTS}


def files_of(folder: Path) -> list[Path]:
    """The files of judged clips in a folder, in order."""
    return sorted(folder.glob("judge-*.npz"))


def judge_all(files: list[Path], processes: int, every: int = 1, more_seen: bool = False) -> Judged:
    """Rows of all clips, read from every so many-th of their frames, with the bat and home plate in sight or without."""
    parts = [(file, every, more_seen) for file in files]
    if processes == 1:
        return reduce(Judged.with_more, starmap(_judge_file, parts), Judged())
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        return reduce(Judged.with_more, pool.starmap(_judge_file, parts, chunksize=1), Judged())


def _judge_file(path: Path, every: int, more_seen: bool) -> Judged:
    return reduce(Judged.with_more, (judge_clip(thinned(clip, every), more_seen) for clip in load(path)), Judged())


def thinned(clip: Kept, every: int) -> Kept:
    """The clip as a film of fewer frames a second would have it."""
    names = ("times", "keypoints", "visibility", "world", "joints", "bat", "bat_px", "bat_chance")
    rows = {name: getattr(clip, name) for name in names}
    return replace(clip, **{name: row[::every] for name, row in rows.items() if row is not None})


def judge_clip(clip: Kept, more_seen: bool = False) -> Judged:
    """Rows of one clip. Readings and instants count where exactly the one swing was found; the rest shows in the count of swings."""
    tracks, step = tracks_of(clip), float(np.median(np.diff(clip.times)))
    if more_seen and clip.kind == 0:
        tracks = plate_seen(clip, bat_seen(clip, tracks))
    result = read(tracks)
    group, rate = group_of(clip.azimuth), round(1.0 / step)
    found = sum(swing.reaches_contact for swing in result.swings)
    swings = clip.kind == 0
    if swings and clip.truth is None:
        return Judged()  # a hitter who is never quiet has no set-up, so nothing was written down
    hand = result.film.hand == ("left" if clip.mirrored else "right") if swings and result.film.hand else None
    checked = len(result.swings) - found
    counted = [Counted(clip.number, group, rate, _kind(clip), found, int(swings), hand, checked)]
    if not swings or len(result.swings) != 1:
        return Judged(counted=counted)
    return Judged(_told(clip, tracks, result, group, rate), _timed(clip, result, group, rate, step), counted)


def _kind(clip: Kept) -> str:
    return DEEDS_BY_ANOTHER if clip.number >= DEEDS else KINDS[clip.kind]


def _told(clip: Kept, tracks: Tracks, result: Result, group: str, rate: int) -> list[Told]:
    assert clip.truth is not None
    truths = clip.truth["checkpoints"]
    wide = read(tracks, bands=NOTHING_WANTED).swings[0]
    return [
        Told(
            clip.number, group, rate, r.checkpoint, truths[r.checkpoint], r.value, r.interval, r.band, r.call,
            wide.reading(r.checkpoint).value,
        )
        for r in result.swings[0].readings
        if np.isfinite(truths.get(r.checkpoint, np.nan))
    ]  # fmt: skip


def _timed(clip: Kept, result: Result, group: str, rate: int, step: float) -> list[Timed]:
    assert clip.truth is not None
    rows = []
    for name in INSTANTS:
        found, off, half = result.swings[0].instants[name], None, None
        if found.time_s is not None and found.interval_s is not None:
            off = (found.time_s - (clip.truth["instants"][name] - float(clip.times[0]))) / step
            half = (found.interval_s[1] - found.interval_s[0]) / 2.0 / step
        rows.append(Timed(clip.number, group, rate, name, off, half))
    return rows


def about(files: list[Path]) -> tuple[int, str, bool]:
    """How many people are in them, the numbers of their clips in words, and whether all were looked through for the bat."""
    clips = [(clip.person, clip.number, clip.bat_px is not None) for path in files for clip in load(path)]
    numbers = sorted(number for _, number, _ in clips)
    words = f"{len(numbers)} clips numbered {numbers[0]} to {numbers[-1]}"
    return len({person for person, _, _ in clips}), words, all(looked for _, _, looked in clips)
