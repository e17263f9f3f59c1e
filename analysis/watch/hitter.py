"""Choose the hitter among the people followed: whose two hands swing together, measured in their own body's size."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.watch.follow import Walk
from analysis.watch.pose import TORSO
from analysis.watch.region import Floats

MIN_SIGHTINGS = 4
TOGETHER = 0.75  # trunks between the wrists of two hands on one bat, at most
USUAL_PEAK = 8.0  # trunks per second: the hands' peak in a swing at true speed, seen at a coarse step
SWING_SHARE = 0.42  # of the hands' greatest travel: other peaks worth a close look
AROUND_S = 0.15


@dataclass(frozen=True)
class Hands:
    """The hands of one walk against the hips: time, speed in trunks per second, and whether they are together."""

    time_s: Floats
    speed: Floats
    together: Floats


@dataclass(frozen=True)
class Window:
    """Frames first..last (inclusive) worth a close look, around the frames `peaks` of the hands' greatest travel.

    slower tells how many times slower than a usual swing the hands seem: 1 at true speed.
    """

    first: int
    last: int
    peaks: tuple[int, ...]
    slower: float


def hands_of(walk: Walk, time_s: Floats) -> Hands:
    """Return the hands' motion of `walk`; time_s [F] are all frames' times."""
    points = np.array([pose.keypoints_px for pose in walk.poses])
    times = time_s[walk.frames]
    trunk = np.median(np.linalg.norm(points[:, [11, 12]].mean(axis=1) - points[:, [23, 24]].mean(axis=1), axis=1))
    wrists = points[:, [15, 16]]
    middle = (wrists.mean(axis=1) - points[:, [23, 24]].mean(axis=1)) / trunk
    apart = np.linalg.norm(wrists[:, 0] - wrists[:, 1], axis=1) / trunk
    seen = np.array([pose.visibility[TORSO].mean() > 0.3 for pose in walk.poses])
    steps = np.maximum(np.diff(times), 1e-3)
    speed = np.concatenate([[0.0], np.linalg.norm(np.diff(middle, axis=0), axis=1) / steps])
    near = (apart < TOGETHER) & seen
    both = near & np.concatenate([[False], near[:-1]])
    return Hands(times, speed, both.astype(np.float64))


def travel(hands: Hands) -> Floats:
    """Return, per sighting, how far the hands, held together, travel [N] in the 0.3 s around it, in trunks."""
    moved = hands.speed * np.concatenate([[0.0], np.diff(hands.time_s)]) * hands.together
    total = np.cumsum(moved)
    after = np.interp(hands.time_s + AROUND_S, hands.time_s, total)
    before = np.interp(hands.time_s - AROUND_S, hands.time_s, total, left=0.0)
    return np.asarray(after - before)


def swing_strength(hands: Hands) -> float:
    """Return the hands' greatest travel: about 2 trunks or more for a swing."""
    return float(np.max(travel(hands), initial=0.0))


def ranked(walks: list[Walk], time_s: Floats) -> list[tuple[float, Walk]]:
    """Return the walks that were followed long enough, the one with the strongest hands first, each with how strong they are.

    time_s  [F] all frames' times

    The largest or nearest person is not preferred; being seen longer is, slightly.
    """
    long_enough = [walk for walk in walks if len(walk.frames) >= MIN_SIGHTINGS]
    longest = max((len(walk.frames) for walk in long_enough), default=1)
    found = [
        (float(swing_strength(hands_of(walk, time_s)) * np.sqrt(len(walk.frames) / longest)), walk)
        for walk in long_enough
    ]
    return sorted(found, key=lambda each: -each[0])


def windows(hands: Hands, time_s: Floats, before_s: float = 1.5, after_s: float = 1.1) -> list[Window]:
    """Return the stretches around the hands' speed peaks, in order, joined where they touch; time_s [F] are all frames' times.

    A clip that was slowed down has slow hands; its windows are as many times longer.
    """
    travelled = travel(hands)
    if not len(travelled) or travelled.max() <= 0:
        return []
    slower = float(np.clip(USUAL_PEAK / (hands.speed * hands.together).max(), 1.0, 10.0))
    found: list[Window] = []
    for peak in _peaks(travelled, SWING_SHARE * float(travelled.max())):
        at = hands.time_s[peak]
        first = int(np.searchsorted(time_s, at - before_s * slower))
        last = min(len(time_s) - 1, int(np.searchsorted(time_s, at + after_s * slower)))
        tops = [int(np.searchsorted(time_s, at))]
        if found and first <= found[-1].last + 1:
            before = found.pop()
            first, last, tops = before.first, max(last, before.last), [*before.peaks, *tops]
        found.append(Window(first, last, tuple(tops), slower))
    return found


def _peaks(values: Floats, least: float) -> list[int]:
    padded = np.concatenate([[-np.inf], values, [-np.inf]])
    top = (padded[1:-1] >= padded[:-2]) & (padded[1:-1] > padded[2:]) & (values >= least)
    return [int(index) for index in np.flatnonzero(top)]
