"""How near the angle of the bat would come if more of it were known: its true ends in the picture, its length, which end is nearer.

    python -m tests.lift.reach_bat --judge FOLDER

takes the drawn judging swings in which the bat was looked for (`make --bat`), at the true foot down, and writes
`tests/lift/data/reach-bat.json`, which `python -m analysis.validate` shows: the limit of what one picture says of the angle.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.read.bat_angle import bat_length
from analysis.tracks import SURE_OF_BAT

from .judge import group_of
from .store import Kept, load

__all__ = ["Seen", "angle", "angle_by_depth", "points", "seen_in"]

OUT = Path(__file__).parent / "data" / "reach-bat.json"
NEAR_FRAMES = 1.5  # how far from foot down a frame may be in which the bat is seen
HOW = (
    "The angle of the bat at the true foot down of {swings} drawn judging swings, each by the one frame nearest to it, so a little "
    "otherwise than as read: by its two ends and its length as found, and by one after another as they truly are. As found, the bat is as "
    "far away as the hips, and its end may point toward the camera or away; last, that is known, too. Mean absolute errors in degrees."
)


@dataclass(frozen=True)
class Seen:
    """A bat at one moment, on the camera's axes (x right, y down, z away).

    group      of views: side, along or between
    found      [2, 2] knob and barrel end as watched, and true [2, 2]: px from the picture's middle over the focal length
    length     the bat's, m, and found_length, as the longest sight of it tells
    knob_away  how far away the hips are, m: the knob is taken to be as far
    up         [3] against gravity
    away       whether the barrel end is farther from the camera than the knob
    truth      degrees above the horizontal
    """

    group: str
    found: np.ndarray
    true: np.ndarray
    length: float
    found_length: float
    knob_away: float
    up: np.ndarray
    away: bool
    truth: float


def seen_in(clip: Kept) -> Seen | None:
    """The bat of a drawn swing at its foot down; None where it is not surely seen there."""
    if clip.kind != 0 or clip.truth is None or clip.bat_px is None or clip.bat_chance is None:
        return None
    sure = np.flatnonzero((clip.bat_chance >= SURE_OF_BAT) & np.isfinite(clip.bat_px).all(axis=(1, 2)))
    apart = np.abs(clip.times[sure] - clip.truth["instants"]["foot_down"])
    if not sure.size or apart.min() > NEAR_FRAMES * float(np.diff(clip.times).mean()):
        return None
    frame = int(sure[apart.argmin()])
    middle = np.array(clip.size) / 2.0
    hips = clip.joints[:, :2, 2].mean(axis=1)
    found = (clip.bat_px - middle) / clip.focal
    seen = np.linalg.norm(found[sure, 1] - found[sure, 0], axis=1) * hips[sure] / clip.height
    knob, barrel = clip.bat[frame]
    step = barrel - knob
    length = float(np.linalg.norm(step))
    return Seen(
        group_of(clip.azimuth),
        found[frame],
        clip.bat[frame][:, :2] / clip.bat[frame][:, 2:],
        length,
        float(bat_length(seen)[0]) * clip.height,
        float(hips[frame]),
        np.asarray(clip.axes[1]),
        bool(step[2] > 0),
        float(np.degrees(np.arcsin(step @ clip.axes[1] / length))),
    )


def angle(ends: np.ndarray, away: float, length: float, up: np.ndarray) -> float:
    """Degrees above the horizontal of a bat whose ends [2, 2] (x, y over z) both lie ``away`` m from the camera."""
    step = (ends[1] - ends[0]) * away
    return float(np.degrees(np.arcsin(np.clip(step @ up[:2] / length, -1.0, 1.0))))


def angle_by_depth(ends: np.ndarray, away: float, length: float, up: np.ndarray, farther: bool) -> float:
    """The same where the barrel end lies on its ray, a bat's length from the knob, on the ``farther`` side or the nearer one."""
    knob, ray = np.array([*ends[0], 1.0]) * away, np.array([*ends[1], 1.0])
    # |t ray - knob| = length; where the ray passes the knob farther off than that, the nearest place on it.
    middle = float(ray @ knob / (ray @ ray))
    room = middle**2 - float((knob @ knob - length**2) / (ray @ ray))
    t = middle + (1.0 if farther else -1.0) * float(np.sqrt(max(room, 0.0)))
    step = t * ray - knob
    return float(np.degrees(np.arcsin(np.clip(step @ up / np.linalg.norm(step), -1.0, 1.0))))


def points(bats: Iterable[Seen]) -> list[dict[str, object]]:
    """Mean absolute errors, degrees, by what is known and group of views."""
    every = list(bats)
    told = {
        "ends and length as found": [angle(b.found, b.knob_away, b.found_length, b.up) for b in every],
        "ends as found, true length": [angle(b.found, b.knob_away, b.length, b.up) for b in every],
        "true ends and length": [angle(b.true, b.knob_away, b.length, b.up) for b in every],
        "ends as found, true length and side in depth": [
            angle_by_depth(b.found, b.knob_away, b.length, b.up, b.away) for b in every
        ],
        "true ends, length and side in depth": [
            angle_by_depth(b.true, b.knob_away, b.length, b.up, b.away) for b in every
        ],
    }
    off = {name: np.abs(np.array(values) - [b.truth for b in every]) for name, values in told.items()}
    groups = {group: np.array([b.group == group for b in every]) for group in ("side", "along")}
    return [
        {
            "known": name,
            "told": {group: round(float(rows[own].mean()), 2) for group, own in groups.items() if own.any()},
        }
        for name, rows in off.items()
    ]


def _bats(folder: Path) -> Iterator[Seen]:
    for path in sorted(folder.glob("judge-*.npz")):
        for clip in load(path):
            bat = seen_in(clip)
            if bat is not None:
                yield bat


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="How near the angle of the bat would come if more were known.")
    parser.add_argument("--judge", type=Path, required=True)
    bats = list(_bats(parser.parse_args().judge))
    told = points(bats)
    for point in told:
        print(json.dumps(point), flush=True)
    OUT.write_text(json.dumps({"how": HOW.format(swings=len(bats)), "points": told}, indent=1) + "\n")


if __name__ == "__main__":
    main()
