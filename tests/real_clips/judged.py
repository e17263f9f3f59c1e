"""What is read of real clips, held against what was seen by eye: rows for the page and for the tests."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from analysis.read import Result
from analysis.read.versions import METHOD
from analysis.tracks import Tracks

__all__ = ["DATA", "Label", "Off", "Seen", "kept", "labels", "offs", "seen_in", "tracks_of"]

HERE = Path(__file__).parent
DATA = HERE / "data"
NEAR_FRAMES_S = 0.2  # a swing found is one that was labelled where their contacts lie this near


@dataclass(frozen=True)
class Label:
    """What eyes saw in a clip: frames are 0-based, each instant with how far off it may be (frames).

    film        where the film lies: in the folder of footage beside the project, or in a wheel
    hand, view  None where nobody bats
    no_swing    first and last frame of what is no swing, and what it is
    hitter_px   by frame, the middle of the hitter's hips
    """

    film: str
    shows: str
    people: int
    looked_at_before: str
    slowed: int
    hand: str | None
    view: str | None
    swings: list[dict[str, list[float]]]
    no_swing: list[list[Any]]
    hitter_px: dict[str, list[float]]


@dataclass(frozen=True)
class Seen:
    """What was read in a clip, in numbers alone: it holds no picture, no body and nobody's way of moving.

    swings    by swing that reaches contact: instant, and frames [at, from, to] of it and of its 90 % interval
    checked   how many checked swings were found
    slowed    the factor that the film is said to be slowed by; None where it is suspected without one
    hitter    how many standing heights, at most, the chosen one's hips lie from the hitter's; None where nobody bats
    method    of reading
    """

    frames: int
    fps: float
    swings: list[dict[str, list[float]]]
    checked: int
    hand: str | None
    view: str
    slowed: float | None
    hitter: float | None
    method: int


@dataclass(frozen=True)
class Off:
    """One instant of one labelled swing: frames read minus seen, how sure the eye was, and whether the interval holds the label."""

    clip: str
    swing: int
    instant: str
    seen: float
    doubt: float
    read: float | None
    interval: tuple[float, float] | None

    @property
    def frames(self) -> float | None:
        """How far what was read lies from what was seen."""
        return None if self.read is None else self.read - self.seen

    @property
    def within(self) -> bool:
        """Whether it lies as near as the eye was sure, and one frame more."""
        return self.frames is not None and abs(self.frames) <= self.doubt + 1.0

    @property
    def held(self) -> bool:
        """Whether the 90 % interval touches what the eye takes for possible."""
        return self.interval is not None and (
            self.interval[0] <= self.seen + self.doubt and self.interval[1] >= self.seen - self.doubt
        )


def labels() -> dict[str, Label]:
    """Every labelled clip by its name."""
    return {name: Label(**about) for name, about in json.loads((HERE / "labels.json").read_text()).items()}


def tracks_of(name: str) -> Path | None:
    """The committed tracks of a clip; None where its footage allows none."""
    path = DATA / f"{name}.tracks.npz"
    return path if path.exists() else None


def kept() -> dict[str, Seen]:
    """What was read when somebody last ran `python -m tests.real_clips`."""
    return {name: Seen(**told) for name, told in json.loads((DATA / "read.json").read_text()).items()}


def seen_in(tracks: Tracks, result: Result, label: Label) -> Seen:
    """What was read of a clip."""
    film = result.film
    return Seen(
        frames=tracks.frames,
        fps=round(float(1 / np.median(np.diff(tracks.time_s))), 2),
        swings=[
            {
                name: [
                    round(float(value), 1) for value in _frames(tracks, [instant.time_s, *(instant.interval_s or ())])
                ]
                for name, instant in swing.instants.items()
                if instant.time_s is not None
            }
            for swing in result.swings
            if swing.reaches_contact
        ],
        checked=sum(not swing.reaches_contact for swing in result.swings),
        hand=film.hand,
        view=film.view,
        slowed=film.speed_factor if not film.speed_suspect else film.speed_proposed,
        hitter=_from_the_hitter(tracks, label),
        method=METHOD,
    )


def _frames(tracks: Tracks, times: list[float | None]) -> np.ndarray:
    """Times in s as places between frames."""
    return np.asarray(np.interp(np.array(times, dtype=float), tracks.time_s, np.arange(tracks.frames)))


def _from_the_hitter(tracks: Tracks, label: Label) -> float | None:
    if not label.hitter_px:
        return None
    away = []
    for frame, hips in label.hitter_px.items():
        points, box = tracks.keypoints_px[int(frame)], tracks.box_px[int(frame)]
        away.append(np.linalg.norm(points[[23, 24]].mean(axis=0) - hips) / (box[3] - box[1]))
    return round(float(np.max(away)), 2)  # NaN where nobody was watched


def matched(seen: Seen, label: Label) -> list[int | None]:
    """By labelled swing, which of those found it is; each is taken once."""
    free, found = list(range(len(seen.swings))), []
    for swing in label.swings:
        near = [n for n in free if abs(seen.swings[n]["contact"][0] - swing["contact"][0]) <= NEAR_FRAMES_S * seen.fps]
        found.append(near[0] if near else None)
        free = [n for n in free if n not in near[:1]]
    return found


def false_swings(seen: Seen, label: Label) -> int:
    """Swings with contact found where no eye saw one."""
    return len(seen.swings) - sum(n is not None for n in matched(seen, label))


def offs(name: str, seen: Seen, label: Label) -> list[Off]:
    """Every labelled instant of the swings that were found."""
    rows = []
    for number, (swing, found) in enumerate(zip(label.swings, matched(seen, label), strict=True), start=1):
        for instant, (at, doubt) in swing.items():
            read = seen.swings[found].get(instant) if found is not None else None
            interval = (read[1], read[2]) if read and len(read) == 3 else None
            rows.append(Off(name, number, instant, at, doubt, read[0] if read else None, interval))
    return rows


def as_json(seen: Seen) -> dict[str, Any]:
    """For `read.json`."""
    return asdict(seen)
