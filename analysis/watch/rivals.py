"""Tell the hitter from others whose hands are about as quick: by the bat in them, looked for about the moment of their greatest travel."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from analysis.watch.again import frames_again
from analysis.watch.background import Backdrop
from analysis.watch.close import Closer, Plan, regions_between
from analysis.watch.follow import Walk
from analysis.watch.hitter import Window, hands_of, ranked, travel
from analysis.watch.pose import Landmarker
from analysis.watch.region import Floats

NEAR = 0.1  # of the greatest strength: whose hands do less is no rival
MOST = 3  # people looked at
LOOKS_S = (-0.30, 0.10)  # about the greatest travel of the hands: the bat is seen before it is too fast
STEP_S = 1 / 30  # between looks; the bat is told from what stands still by its neighbours in time
SUREST = 5  # looks whose chances are averaged: a bat is not seen in each


def hitter_of(
    path: Path, walks: list[Walk], time_s: Floats, camera: Floats, background: Backdrop | None, landmarker: Landmarker
) -> Walk | None:
    """Return the hitter's walk, or None when nobody was followed long enough.

    time_s  [F] all frames' times
    camera  [F, 3, 3] takes frames to the first

    The film is opened once more only where somebody else comes near the one whose hands travel farthest.
    """
    order = ranked(walks, time_s)
    rivals = [(strength, walk) for strength, walk in order[:MOST] if strength > NEAR * order[0][0]]
    if len(rivals) < 2:
        return order[0][1] if order else None
    chances = chances_of_a_bat(path, [walk for _, walk in rivals], time_s, camera, background, landmarker)
    # Squared: in ten drawn films hitters had chances of 0.62 to 0.99, throwers, whose hands travelled up to 1.5 trunks, of 0.03 to 0.29.
    return max(zip(rivals, chances, strict=True), key=lambda each: each[0][0] * each[1] ** 2)[0][1]


def chances_of_a_bat(
    path: Path,
    walks: list[Walk],
    time_s: Floats,
    camera: Floats,
    background: Backdrop | None,
    landmarker: Landmarker,
) -> list[float]:
    """Return, for each walk, the chance 0..1 that its hands hold a bat: the mean of the surest looks.

    time_s  [F] all frames' times
    camera  [F, 3, 3] takes frames to the first
    """
    closers = [Closer(_looks(walk, time_s), landmarker, time_s, walk, camera, background) for walk in walks]
    wanted = np.flatnonzero(np.any([closer.plan.close for closer in closers], axis=0))
    for frame in frames_again(path, [int(index) for index in wanted], time_s):
        for closer in closers:
            closer.take(frame)
    return [_surest(closer.arrays()["bat_confidence"]) for closer in closers]


def _looks(walk: Walk, time_s: Floats) -> Plan:
    hands = hands_of(walk, time_s)
    at_s = float(hands.time_s[int(np.argmax(travel(hands)))])
    aims = np.arange(at_s + LOOKS_S[0], at_s + LOOKS_S[1], STEP_S)
    frames = np.unique(np.clip(np.searchsorted(time_s, aims), walk.frames[0], walk.frames[-1]))
    close = np.zeros(len(time_s), dtype=bool)
    close[frames] = True
    window = Window(int(frames[0]), int(frames[-1]), (int(np.searchsorted(time_s, at_s)),), 1.0)
    return Plan([window], close, regions_between(walk, len(time_s)), int(frames[-1]))


def _surest(chances: NDArray[np.float32]) -> float:
    return float(np.sort(chances)[-SUREST:].mean())
