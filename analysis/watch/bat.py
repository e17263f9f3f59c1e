"""Find the bat: the line from the hands along which the picture shows a bar, or a moving streak, as long as a bat.

Around the hands the picture is laid out by direction and distance. Each direction is scored by how far out a bar with
contrast on both sides, or something that moves, reaches without a break. The best way through all directions over time,
turning no faster than a bat can, is the bat's.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from analysis.watch.decode import Picture

DIRECTIONS = 240  # bins of 1.5 degrees, clockwise from the picture's +x axis (y down)
RINGS = 56  # steps of distance
REACH = 1.25  # of a bat's length: the laid-out distance; beyond 1 a bat has ended
HANDLE = 0.12  # of a bat's length: this near, hands and forearms hide it
SURE_CONTRAST = 22.0  # grey levels that count as full evidence
SURE_SWEEP = 14.0  # grey levels of a streak
USUAL_NOISE = 2.0  # medians of change that are grain and a shaking camera
TAU = 0.35  # evidence below this breaks a bar
FOREARM_BINS = 14  # directions so near a forearm's are the arm, not the bat
TURN_PER_S = 3_000.0  # degrees: a fast bat's turn seen side on (from memory: bats turn at 2,000 to 3,000 at contact)
LEG_HALF = 0.12  # of a bat's length: half the width of a leg, and a little
LEG_COUNTS = 0.3  # how much evidence on a leg counts: a bat may pass before it
FIT_BINS = 12  # to each side of a direction: where its bar's line is fitted
FIT_WITHIN = (0.15, 0.12, 0.1, 0.08, 0.06, 0.06, 0.05, 0.05)  # of a bat's length: what counts to the line, step by step
TURN_COST = 0.15

Floats = NDArray[np.float64]
Layout = NDArray[np.float32]


@dataclass(frozen=True)
class Line:
    """A line fitted to a bar: a point on it and its direction (unit vector), px from the middle laid out around."""

    point: Floats
    way: Floats


@dataclass(frozen=True)
class Evidence:
    """What one frame says about every direction: score [DIRECTIONS] 0..1 and how far the bar reaches [DIRECTIONS], px.

    best is the direction with the highest score, and line the line fitted to the bar there.
    """

    score: Floats
    reach_px: Floats
    best: int = -1
    line: Line | None = None


def lay_out(picture: Picture, middle: Floats, length: float) -> Layout:
    """Return the picture around `middle` as [DIRECTIONS, RINGS, 3]: direction and distance up to REACH lengths."""
    size = (RINGS, DIRECTIONS)
    centre = (float(middle[0]), float(middle[1]))
    laid = cv2.warpPolar(picture, size, centre, REACH * length, cv2.WARP_POLAR_LINEAR | cv2.INTER_LINEAR)
    return np.asarray(laid, dtype=np.float32)


def bar_contrast(laid: Layout) -> Floats:
    """Return [DIRECTIONS, RINGS]: contrast of a thin bar against both its sides, the weaker side counting."""
    best = np.zeros(laid.shape[:2])
    for half in (1, 2, 4):
        middle = _smoothed(laid, half)
        side = 2 * half + 2
        left, right = middle - np.roll(middle, side, axis=0), middle - np.roll(middle, -side, axis=0)
        same = left * right > 0
        weaker = np.where(same, np.minimum(np.abs(left), np.abs(right)), 0.0).max(axis=2)
        best = np.maximum(best, weaker)
    return best


def before_background(bar: Floats, laid: Layout, behind: Layout) -> Floats:
    """Return the contrast of bars that are not in the background; a post behind the hitter is no bat.

    behind  the background laid out around the same middle
    """
    other = np.abs(laid - behind).max(axis=2).astype(np.float64)
    other = np.maximum(other - USUAL_NOISE * np.median(other), 0.0)
    return np.asarray(np.minimum(bar, 1.5 * other))


def off_legs(middle: Floats, length: float, legs: Floats) -> Floats:
    """Return [DIRECTIONS, RINGS]: how little each place lies on a leg; a striding leg is a moving bar too.

    legs    [6, 2] hip, knee, ankle of one and of the other leg, in the picture's pixels
    """
    angle = np.arange(DIRECTIONS)[:, None] * (2 * np.pi / DIRECTIONS)
    radius = (np.arange(RINGS)[None, :] + 0.5) / RINGS * REACH * length
    places = np.stack([middle[0] + np.cos(angle) * radius, middle[1] + np.sin(angle) * radius], axis=-1)
    nearest = np.full(places.shape[:2], np.inf)
    for start, end in ((0, 1), (1, 2), (3, 4), (4, 5)):
        bone = legs[end] - legs[start]
        along = np.clip((places - legs[start]) @ bone / max(float(bone @ bone), 1e-6), 0, 1)
        nearest = np.minimum(nearest, np.linalg.norm(places - legs[start] - along[..., None] * bone, axis=-1))
    return np.asarray(np.clip(nearest / (LEG_HALF * length), LEG_COUNTS, 1.0))


def movement(laid: Layout, before: Layout | None, after: Layout | None) -> Floats:
    """Return [DIRECTIONS, RINGS]: how much is here now that is neither just before nor just after."""
    changes = [np.abs(laid - other).max(axis=2) for other in (before, after) if other is not None]
    if not changes:
        return np.zeros(laid.shape[:2])
    here = np.minimum.reduce(changes).astype(np.float64)
    return np.asarray(np.maximum(here - USUAL_NOISE * np.median(here), 0.0))


def weigh(bar: Floats, moved: Floats, length: float, forearms: Floats) -> Evidence:
    """Weigh contrast and movement along every direction from the hands.

    forearms    directions from the hands to the elbows, degrees; NaN where not seen
    """
    # A still bat shows no movement, a fast one no edges: take what there is, and a little more where both agree.
    strength = np.clip(np.maximum(bar, moved) / SURE_CONTRAST, 0, 1) + 0.3 * np.clip(
        np.minimum(bar, moved) / SURE_CONTRAST, 0, 1
    )
    first, last = round(HANDLE / REACH * RINGS), round(RINGS / REACH)
    score, end = _longest(strength[:, first:last])
    # What goes on unbroken beyond the longest bat is a line of the background.
    beyond = np.clip(strength[:, last + 2 :], 0, 1).mean(axis=1)
    score *= (1.0 - 0.8 * np.clip(beyond, 0, 1)) * _off_forearms(forearms)
    reach = (first + end + 1) / RINGS * REACH * length
    best = int(score.argmax())
    line = fit_line(strength, best, first, first + int(end[best]) + 1, length)
    return Evidence(_around(score), reach, best, line)


def weigh_sweep(moved: Floats, length: float, body: float) -> Evidence:
    """Weigh movement alone along every direction from the chest, beyond the body's own reach.

    A bat at full speed is a faint streak, and its hands are blurred; but arms and bat then point away from the chest.
    length  px, from the chest to the barrel's end at most; body, px, what lies nearer is limbs
    """
    first, last = round(body / length / REACH * RINGS), round(RINGS / REACH)
    score, end = _longest(np.clip(_wide(moved[:, first:last]) / SURE_SWEEP, 0, 1))
    return Evidence(_around(score), (first + end + 1) / RINGS * REACH * length)


def fit_line(strength: Floats, direction: int, first: int, last: int, length: float) -> Line | None:
    """Fit a line to the strong places near `direction`, rings first..last; None where there are too few.

    The hands' middle is not quite on the bat, so the bar does not point exactly at it.
    """
    rings, bins = np.arange(first, last), np.arange(direction - FIT_BINS, direction + FIT_BINS + 1)
    if len(rings) < 6:
        return None
    weight = np.clip(strength[bins % DIRECTIONS][:, first:last], 0, 1.3) ** 3
    radius = (rings + 0.5) / RINGS * REACH * length
    angle = bins * (2 * np.pi / DIRECTIONS)
    x, y = np.cos(angle)[:, None] * radius, np.sin(angle)[:, None] * radius
    point, way = np.zeros(2), np.array([np.cos(angle[FIT_BINS]), np.sin(angle[FIT_BINS])])
    for within in FIT_WITHIN:
        off = np.abs((x - point[0]) * way[1] - (y - point[1]) * way[0])
        near = weight * radius * np.clip(1 - off / (within * length), 0, None)
        total = near.sum()
        if total <= 0:
            return None
        point = np.array([(near * x).sum(), (near * y).sum()]) / total
        dx, dy = x - point[0], y - point[1]
        spread = np.array([[(near * dx * dx).sum(), (near * dx * dy).sum()], [0.0, (near * dy * dy).sum()]])
        spread[1, 0] = spread[0, 1]
        axis = np.linalg.eigh(spread)[1][:, 1]
        way = axis if axis @ way > 0 else -axis
    return Line(point, way)


def _longest(strength: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """Return, by direction, the gain of the best unbroken reach (0..1) and the ring where it ends."""
    gained = np.cumsum(strength - TAU, axis=1)
    end = np.argmax(gained, axis=1)
    return np.clip(gained[np.arange(len(gained)), end] / strength.shape[1], 0, None), end


def _wide(values: Floats) -> Floats:
    return np.asarray(sum(np.roll(values, step, axis=0) for step in range(-3, 4)) / 7)


def best_way(evidence: list[Evidence | None], time_s: Floats) -> NDArray[np.int_]:
    """Return the direction bin of the bat in each frame: the best sum of scores and of the cost of turning.

    Frames without evidence are passed over; their direction lies on the way between.
    """
    bins = np.arange(DIRECTIONS)
    apart = np.abs(bins[:, None] - bins[None, :])
    apart = np.minimum(apart, DIRECTIONS - apart) * (360.0 / DIRECTIONS)
    total = np.zeros(DIRECTIONS)
    back = np.zeros((len(evidence), DIRECTIONS), dtype=int)
    for index, here in enumerate(evidence):
        if index:
            usual = TURN_PER_S * (time_s[index] - time_s[index - 1])
            cost = TURN_COST * np.minimum((apart / max(usual, 1.0)) ** 2, 25.0)
            reached = total[None, :] - cost
            back[index] = reached.argmax(axis=1)
            total = reached[bins, back[index]]
        if here is not None:
            total = total + here.score
    way = np.zeros(len(evidence), dtype=int)
    if len(evidence):
        way[-1] = int(total.argmax())
        for index in range(len(evidence) - 1, 0, -1):
            way[index - 1] = back[index, way[index]]
    return way


def _smoothed(laid: Layout, half: int) -> Layout:
    padded = np.concatenate([laid[-half:], laid, laid[:half]])
    summed = np.cumsum(np.concatenate([np.zeros_like(padded[:1]), padded]), axis=0, dtype=np.float64)
    return np.asarray((summed[2 * half + 1 :] - summed[: -2 * half - 1]) / (2 * half + 1), dtype=np.float32)


def _off_forearms(forearms: Floats) -> Floats:
    keep = np.ones(DIRECTIONS)
    for angle in forearms[np.isfinite(forearms)]:
        near = (np.arange(DIRECTIONS) - angle / 360 * DIRECTIONS + DIRECTIONS / 2) % DIRECTIONS - DIRECTIONS / 2
        keep *= np.clip(np.abs(near) / FOREARM_BINS, 0.1, 1.0)
    return keep


def _around(score: Floats) -> Floats:
    """Share a little with the neighbouring directions, so that half a bin off is not a loss."""
    return np.asarray(0.25 * np.roll(score, 1) + 0.5 * score + 0.25 * np.roll(score, -1))
