"""Watch the bat through the clip: look around the hands frame by frame, then follow the bat through all of them."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.watch.background import Backdrop
from analysis.watch.batcertain import Certainty, certainty, follow_looks
from analysis.watch.batlayout import GRID, Layout, look_around, sample
from analysis.watch.pictures import Picture
from analysis.watch.region import Region, cut

VIEW_PX = 480  # side of the part looked at
VIEW_HEIGHTS = 2.3  # its side in body heights: arms and bat at full reach
NEIGHBOUR_S = 1 / 60
HANDS: Final = [15, 16, 17, 18, 19, 20]

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


@dataclass(frozen=True)
class HandPatch:
    """What one frame shows around the hands: the look (see `batlayout`), and the hands' middle in full pixels."""

    look: NDArray[np.uint8]
    hands: Floats
    wrists: float  # how far apart, standing heights


class BatWatcher:
    """Takes frames in order, as far apart as they come, and lays out each with its neighbours in time."""

    def __init__(self, height_px: float, background: Backdrop | None = None) -> None:
        """`height_px` is the hitter's standing height in full pixels; background, what stands still."""
        self._height, self._background = height_px, background
        self._views: deque[_View] = deque()
        self._next = 0  # position in _views of the view to lay out
        self.patches: dict[int, HandPatch | None] = {}
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
        self._views.append(_View(index, time_s, region, cut(picture, scale, region, VIEW_PX), to_first, keypoints))
        self._times[index] = time_s
        while time_s - self._views[self._next].time_s >= 0.75 * NEIGHBOUR_S:
            self._look_next()
        while self._next and self._views[self._next].time_s - self._views[0].time_s > 1.5 * NEIGHBOUR_S:
            self._views.popleft()
            self._next -= 1

    def finish(self) -> None:
        """Lay out what waited for a later neighbour."""
        while self._next < len(self._views):
            self._look_next()

    def lines(self, frames: int) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
        """Return bat_px [F, 2, 2] (knob end, barrel end; NaN where not seen) and bat_confidence [F].

        The confidence is the chance that the line is the bat: both ends where they are (see `batcertain`).
        """
        self.finish()
        bat = np.full((frames, 2, 2), np.nan, np.float32)
        confidence = np.zeros(frames, np.float32)
        for certain in self.follow():
            sure = certainty(certain)
            for index, ends, chance in zip(certain.frames, certain.ends, sure, strict=True):
                patch = self.patches[index]
                if patch is not None:
                    bat[index], confidence[index] = patch.hands + self._height * ends, chance
        return bat, confidence

    def follow(self) -> list[Certainty]:
        """By stretch of frames, the line of each frame (from the hands, standing heights) and what its certainty is told by."""
        found = []
        for stretch in _stretches([index for index, patch in self.patches.items() if patch is not None], self._times):
            patches = [patch for index in stretch if (patch := self.patches[index]) is not None]
            times = np.array([self._times[index] for index in stretch])
            looks = np.stack([patch.look for patch in patches])
            found.append(follow_looks(stretch, times, looks, np.array([patch.wrists for patch in patches])))
        return found

    def _look_next(self) -> None:
        view = self._views[self._next]
        before = _nearest(view.time_s - NEIGHBOUR_S, list(self._views)[: self._next], view.time_s)
        after = _nearest(view.time_s + NEIGHBOUR_S, list(self._views)[self._next + 1 :], view.time_s)
        self.patches[view.index] = self._look(view, before, after) if np.isfinite(view.keypoints).all() else None
        self._next += 1

    def _look(self, view: _View, before: _View | None, after: _View | None) -> HandPatch:
        hands = view.keypoints[HANDS].mean(axis=0)
        places = hands + GRID * self._height
        to_first = _placed(places, view.to_first)
        here = sample(view.picture, _placed(places, _to_view(view.region)))
        behind = None if self._background is None else self._background.at(to_first)
        look = look_around(
            here,
            _seen_in(before, to_first),
            _seen_in(after, to_first),
            behind,
            (view.keypoints - hands) / self._height,
        )
        wrists = float(np.linalg.norm(view.keypoints[15] - view.keypoints[16]) / self._height)
        return HandPatch(look, hands, wrists)


def _seen_in(view: _View | None, to_first: Floats) -> Layout | None:
    """What another frame shows at places given in the first frame's pixels."""
    if view is None:
        return None
    return sample(view.picture, _placed(to_first, _to_view(view.region) @ np.linalg.inv(view.to_first)))


def _placed(places: Floats, matrix: Floats) -> Floats:
    """Places [..., 2] through a homography."""
    if not np.any(matrix[2, :2]):
        return np.asarray(places @ (matrix[:2, :2] / matrix[2, 2]).T + matrix[:2, 2] / matrix[2, 2])
    moved = places @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(moved[..., :2] / moved[..., 2:])


def _nearest(wanted_s: float, views: list[_View], here_s: float) -> _View | None:
    usable = [view for view in views if abs(view.time_s - here_s) < 4 * NEIGHBOUR_S]
    return min(usable, key=lambda view: abs(view.time_s - wanted_s)) if usable else None


def _to_view(region: Region) -> Floats:
    zoom = VIEW_PX / region.side
    left, top = region.x - region.side / 2, region.y - region.side / 2
    return np.array([[zoom, 0, -left * zoom], [0, zoom, -top * zoom], [0, 0, 1]])


def _stretches(indices: list[int], time_of: dict[int, float]) -> list[list[int]]:
    """Divide frames into stretches without long gaps in time."""
    found: list[list[int]] = []
    for index in sorted(indices):
        if found and time_of[index] - time_of[found[-1][-1]] < 8 * NEIGHBOUR_S:
            found[-1].append(index)
        else:
            found.append([index])
    return found
