"""The bat's path through a stretch of frames: what each frame alone says, put together by how fast a bat can turn.

Each frame's network gives chances of where the bat points, or that it is not to be seen. Forward and backward through time they
become the chances given all frames of the stretch; a frame in which little is seen so gets its answer from its neighbours, and
only as surely as they leave no other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.watch.batlayout import DIRECTIONS
from analysis.watch.batnet import NOT_THERE

__all__ = ["BatPath", "ends_at", "follow", "soft"]

Floats = NDArray[np.float64]

BIN: Final = 360.0 / DIRECTIONS  # degrees
# How bats turn, as seen in the picture: shares, and degrees a second and in any case (one deviation). From drawn swings.
TURNS: Final = ((0.55, 300.0, 3.0), (0.40, 1_300.0, 5.0))
ANYWHERE: Final = 0.05  # share of turns that are none of these: hands seen elsewhere
LOST, FOUND = 0.10, 0.25  # chance that a bat seen is not to be seen next, and the other way round
TRUST: Final = 0.7  # of each frame's chances: neighbouring frames mislead in the same way
NEAR_BINS: Final = 2  # to each side: the same answer


@dataclass(frozen=True)
class BatPath:
    """By frame: the direction bin, the chance that the bat points there given all frames [F], and that of the frame alone [F]."""

    bins: NDArray[np.int_]
    together: Floats
    alone: Floats


def soft(scores: Floats) -> Floats:
    """Chances [F, S] from scores that are log chances up to a number."""
    raised = np.exp(scores - scores.max(axis=1, keepdims=True))
    return np.asarray(raised / raised.sum(axis=1, keepdims=True))


def follow(chances: Floats, time_s: Floats) -> BatPath:
    """The bat's path through a stretch of frames; chances [F, DIRECTIONS + 1] of each frame alone, times [F]."""
    if not len(chances):
        return BatPath(np.zeros(0, int), np.zeros(0), np.zeros(0))
    seen = np.maximum(chances, 1e-6) ** TRUST
    count = len(seen)
    ahead, back = np.empty_like(seen), np.empty_like(seen)
    ahead[0], back[-1] = seen[0], 1.0
    moves = [_turning(float(step)) for step in np.diff(time_s)]
    for k in range(1, count):
        now = _moved(ahead[k - 1], moves[k - 1]) * seen[k]
        ahead[k] = now / now.sum()
    for k in range(count - 2, -1, -1):
        now = _moved(back[k + 1] * seen[k + 1], moves[k])
        back[k] = now / now.sum()
    both = ahead * back
    both /= both.sum(axis=1, keepdims=True)
    around = _around(both[:, :NOT_THERE])
    bins = _around(around).argmax(axis=1)  # in the middle of what lies near each other
    rows = np.arange(count)
    return BatPath(bins, around[rows, bins], _around(chances[:, :NOT_THERE])[rows, bins])


def ends_at(places: Floats, direction: int) -> Floats:
    """Knob and barrel [2, 2] from the hands' middle for one frame's places [DIRECTIONS, PLACES]."""
    angle = (direction + 0.5) * 2 * np.pi / DIRECTIONS
    out, aside = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
    barrel_out, barrel_aside, knob_out, knob_aside = places[direction, :4]
    return np.stack([knob_out * out + knob_aside * aside, barrel_out * out + barrel_aside * aside])


def _around(chances: Floats) -> Floats:
    return np.asarray(sum(np.roll(chances, step, axis=1) for step in range(-NEAR_BINS, NEAR_BINS + 1)))


def _turning(step_s: float) -> Floats:
    """The chances of turns [DIRECTIONS, DIRECTIONS] in a time."""
    bins = np.arange(DIRECTIONS)
    apart = np.minimum(bins, DIRECTIONS - bins) * BIN
    chance = np.full(DIRECTIONS, ANYWHERE / DIRECTIONS)
    for share, rate, least in TURNS:
        bell = np.exp(-0.5 * (apart / np.hypot(rate * step_s, least)) ** 2)
        chance += share * bell / bell.sum()
    return np.asarray(chance[(bins[:, None] - bins[None, :]) % DIRECTIONS])


def _moved(chances: Floats, turning: Floats) -> Floats:
    moved = np.empty_like(chances)
    there, gone = chances[:NOT_THERE], chances[NOT_THERE]
    moved[:NOT_THERE] = (1 - LOST) * (turning @ there) + FOUND * gone / DIRECTIONS
    moved[NOT_THERE] = LOST * there.sum() + (1 - FOUND) * gone
    return moved
