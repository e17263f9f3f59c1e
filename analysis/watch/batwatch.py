"""Watch the bat through the clip: gather evidence frame by frame, then draw the best way through it."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from analysis.watch.background import Backdrop
from analysis.watch.bat import (
    DIRECTIONS,
    Evidence,
    Line,
    bar_contrast,
    before_background,
    best_way,
    lay_out,
    movement,
    off_legs,
    weigh,
    weigh_sweep,
)
from analysis.watch.decode import Picture
from analysis.watch.region import Region, cut

VIEW_PX = 480  # side of the part looked at
VIEW_HEIGHTS = 2.3  # its side in body heights: arms and bat at full reach
BAT_HEIGHTS = 0.52  # a bat's length in body heights: 33 in of 63 in (common practice, no source)
ARM_HEIGHTS = 0.40  # chest to hands at full reach (Drillis and Contini's segments add up to about 0.44; from memory)
NEIGHBOUR_S = 1 / 60
LEGS = [23, 25, 27, 24, 26, 28]
HANDS = [15, 16, 17, 18, 19, 20]
KNOB_HEIGHTS = 0.05  # from the middle of two hands to the knob: about a fist and a half (no source)
FIT_NEAR = 6  # bins: as near to the fitted bar a direction is that bar's
SURE_BAR, SWEEP_COUNTS = 0.25, 0.5
MIN_CONFIDENCE = 0.12

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class _View:
    """One frame's part around the hitter: its picture, its place, the camera's mapping and the body seen."""

    index: int
    time_s: float
    region: Region
    picture: Picture
    to_first: Floats
    keypoints: Floats
    behind: Picture | None


@dataclass(frozen=True)
class _Seen:
    """What was weighed in one frame, in full pixels."""

    evidence: Evidence
    from_chest: NDArray[np.bool_]
    hands: Floats
    chest: Floats


class BatWatcher:
    """Takes frames in order, as far apart as they come, and weighs each against its neighbours in time."""

    def __init__(self, height_px: float, background: Backdrop | None = None) -> None:
        """`height_px` is the hitter's standing height in full pixels; background, what stands still."""
        self._height, self._background = height_px, background
        self._views: deque[_View] = deque()
        self._next = 0  # position in _views of the view to weigh
        self._seen: dict[int, _Seen | None] = {}
        self._times: dict[int, float] = {}

    def take(
        self,
        index: int,
        time_s: float,
        picture: Picture,
        scale: float,
        body: Region,
        to_first: Floats,
        keypoints: Floats,
    ) -> None:
        """Take the frame `index`: picture shrunk by `scale`, the hitter's region, and keypoints [33, 2] or NaN."""
        region = Region(body.x, body.y, VIEW_HEIGHTS * self._height)
        part = cut(picture, scale, region, VIEW_PX)
        behind = None if self._background is None else self._background.behind(part, region, to_first)
        view = _View(index, time_s, region, part, to_first, keypoints, behind)
        self._views.append(view)
        self._times[index] = time_s
        while time_s - self._views[self._next].time_s >= 0.75 * NEIGHBOUR_S:
            self._weigh_next()
        while self._next and self._views[self._next].time_s - self._views[0].time_s > 1.5 * NEIGHBOUR_S:
            self._views.popleft()
            self._next -= 1

    def lines(self, frames: int) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
        """Return bat_px [F, 2, 2] (knob end, barrel end; NaN where not seen) and bat_confidence [F]."""
        while self._next < len(self._views):
            self._weigh_next()
        bat = np.full((frames, 2, 2), np.nan, np.float32)
        confidence = np.zeros(frames, np.float32)
        for stretch in _stretches(sorted(self._seen), self._times):
            evidence = [seen.evidence if (seen := self._seen[index]) else None for index in stretch]
            way = best_way(evidence, np.array([self._times[index] for index in stretch]))
            for index, direction in zip(stretch, way, strict=True):
                seen = self._seen[index]
                if seen is None or seen.evidence.score[direction] < MIN_CONFIDENCE:
                    continue
                bat[index] = self._line(seen, int(direction))
                confidence[index] = min(1.0, 1.6 * float(seen.evidence.score[direction]))
        return bat, confidence

    def _weigh_next(self) -> None:
        view = self._views[self._next]
        before = _nearest(view.time_s - NEIGHBOUR_S, list(self._views)[: self._next], view.time_s)
        after = _nearest(view.time_s + NEIGHBOUR_S, list(self._views)[self._next + 1 :], view.time_s)
        self._seen[view.index] = self._weigh(view, before, after) if np.isfinite(view.keypoints).all() else None
        self._next += 1

    def _weigh(self, view: _View, before: _View | None, after: _View | None) -> _Seen:
        zoom = VIEW_PX / view.region.side
        corner = np.array([view.region.x, view.region.y]) - view.region.side / 2
        points = (view.keypoints - corner) * zoom
        hands, chest = (
            points[HANDS].mean(axis=0),
            points[[11, 12]].mean(axis=0) * 0.75 + points[[23, 24]].mean(axis=0) * 0.25,
        )
        others = [_brought_to(view, other) if other is not None else None for other in (before, after)]
        length = BAT_HEIGHTS * self._height * zoom
        near = self._from(view.picture, others, hands, length)
        contrast = bar_contrast(near[0])
        if view.behind is not None:
            contrast = before_background(contrast, near[0], lay_out(view.behind, hands, length))
        elbows = points[[13, 14]] - hands
        forearms = np.degrees(np.arctan2(elbows[:, 1], elbows[:, 0])) % 360
        off = off_legs(hands, length, points[LEGS])
        bar = weigh(contrast * off, near[1] * off, length, forearms)
        reach = (ARM_HEIGHTS + BAT_HEIGHTS) * self._height * zoom
        sweep = weigh_sweep(
            self._from(view.picture, others, chest, reach)[1], reach, 1.05 * ARM_HEIGHTS * self._height * zoom
        )
        # Only where no bar is seen from the hands: whatever else moves around the hitter sweeps too.
        doubt = SWEEP_COUNTS if bar.score.max() < SURE_BAR else 0.0
        sweep_score = doubt * sweep.score
        from_chest = sweep_score > bar.score
        evidence = Evidence(
            np.where(from_chest, sweep_score, bar.score),
            np.where(from_chest, sweep.reach_px, bar.reach_px) / zoom,
            bar.best,
            Line(bar.line.point / zoom, bar.line.way) if bar.line else None,
        )
        return _Seen(evidence, from_chest, hands / zoom + corner, chest / zoom + corner)

    def _from(
        self, picture: Picture, others: list[Picture | None], middle: Floats, length: float
    ) -> tuple[NDArray[np.float32], Floats]:
        laid = lay_out(picture, middle, length)
        before, after = (None if other is None else lay_out(other, middle, length) for other in others)
        return laid, movement(laid, before, after)

    def _line(self, seen: _Seen, direction: int) -> Floats:
        angle = 2 * np.pi * direction / DIRECTIONS
        way = np.array([np.cos(angle), np.sin(angle)])
        reach = seen.evidence.reach_px[direction]
        if not seen.from_chest[direction]:
            line = seen.evidence.line
            if line is None or not _near(direction, seen.evidence.best):
                return np.array([seen.hands, seen.hands + reach * way])
            foot = seen.hands + line.point - (line.point @ line.way) * line.way  # of the hands on the bat
            return np.array([foot - KNOB_HEIGHTS * self._height * line.way, foot + reach * line.way])
        barrel = seen.chest + seen.evidence.reach_px[direction] * way
        return np.array([seen.chest + ARM_HEIGHTS * 0.8 * self._height * way, barrel])


def _near(direction: int, other: int) -> bool:
    apart = abs(direction - other) % DIRECTIONS
    return min(apart, DIRECTIONS - apart) <= FIT_NEAR


def _nearest(wanted_s: float, views: list[_View], here_s: float) -> _View | None:
    usable = [view for view in views if abs(view.time_s - here_s) < 4 * NEIGHBOUR_S]
    return min(usable, key=lambda view: abs(view.time_s - wanted_s)) if usable else None


def _brought_to(view: _View, other: _View) -> Picture:
    """Return the other view's picture as the camera would have seen it at `view`'s frame and place."""
    matrix = (
        _to_view(view.region) @ np.linalg.inv(view.to_first) @ other.to_first @ np.linalg.inv(_to_view(other.region))
    )
    size = (VIEW_PX, VIEW_PX)
    moved = cv2.warpPerspective(other.picture, matrix, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(moved, dtype=np.uint8)


def _to_view(region: Region) -> Floats:
    zoom = VIEW_PX / region.side
    left, top = region.x - region.side / 2, region.y - region.side / 2
    return np.array([[zoom, 0, -left * zoom], [0, zoom, -top * zoom], [0, 0, 1]])


def _stretches(indices: list[int], time_of: dict[int, float]) -> list[list[int]]:
    """Divide frames into stretches without long gaps in time."""
    found: list[list[int]] = []
    for index in indices:
        if found and time_of[index] - time_of[found[-1][-1]] < 8 * NEIGHBOUR_S:
            found[-1].append(index)
        else:
            found.append([index])
    return found
