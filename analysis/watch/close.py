"""The close look: which frames get the finest network, where it looks in each, and what it saw."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

from analysis.proportions import TRUNK
from analysis.watch.background import Backdrop
from analysis.watch.batwatch import BatWatcher
from analysis.watch.decode import Frame
from analysis.watch.follow import Walk
from analysis.watch.ground import NOT_SEEN, Plate, find_plate
from analysis.watch.hitter import Hands, Window, windows
from analysis.watch.pictures import Picture, by_halves
from analysis.watch.pose import Landmarker, Pose
from analysis.watch.region import Region

CORE_S = (-0.95, 0.55)  # around the hands' peak: every frame is read
QUIET_FPS = 30.0  # the rest of a window moves slowly: read at about this rate
MIN_PRESENCE = 0.3
REGION_PX = 566  # of a body's region on the working picture, about: 400 to 800, or what the film has
PLATE_LOOKS, PLATE_EVERY = 6, 12  # frames in which the plate is searched, and how far apart
STEADY_SIGHTINGS = 13  # coarse sightings, about a second, over which a body's size is steady


@dataclass(frozen=True)
class Plan:
    """Which frames are read closely (`close` [F] bool), the windows they come from, and the last frame needed."""

    windows: list[Window]
    close: NDArray[np.bool_]
    regions: list[Region]
    last: int


def plan(walk: Walk, hands: Hands, time_s: NDArray[np.float64]) -> Plan:
    """Plan the close look at the hitter `walk`; time_s [F] are all frames' times, increasing."""
    found = windows(hands, time_s)
    close = np.zeros(len(time_s), dtype=bool)
    for window in found:
        close[window.first : window.last + 1] = _chosen(window, time_s)
    last = int(np.flatnonzero(close)[-1]) if close.any() else -1
    return Plan(found, close, regions_between(walk, len(time_s)), last)


def _chosen(window: Window, time_s: NDArray[np.float64]) -> NDArray[np.bool_]:
    times = time_s[window.first : window.last + 1]
    rate = 1.0 / max(float(np.median(np.diff(time_s))), 1e-4)
    every = np.arange(len(times))
    sparse = every % max(1, round(rate / QUIET_FPS)) == 0
    core = np.zeros(len(times), dtype=bool)
    for peak in window.peaks:
        from_peak = times - time_s[peak]
        core |= (from_peak >= CORE_S[0] * window.slower) & (from_peak <= CORE_S[1] * window.slower)
    return np.asarray(sparse | core)


def regions_between(walk: Walk, frames: int) -> list[Region]:
    """Return where the hitter's body is in every frame: between the sightings on a straight way, at a steady size."""
    seen = np.array([[pose.region.x, pose.region.y, pose.region.side, pose.region.turn] for pose in walk.poses])
    seen[:, 2] = median_filter(seen[:, 2], STEADY_SIGHTINGS, mode="nearest")
    seen[:, 3] = median_filter(seen[:, 3], 5, mode="nearest")
    every = np.stack([np.interp(np.arange(frames), walk.frames, column) for column in seen.T], axis=1)
    return [Region(*(float(value) for value in row)) for row in every]


def height_of(walk: Walk) -> float:
    """Return the hitter's standing height in full pixels, from the trunk."""
    points = np.array([pose.keypoints_px for pose in walk.poses])
    trunk = np.linalg.norm(points[:, [11, 12]].mean(axis=1) - points[:, [23, 24]].mean(axis=1), axis=1)
    return float(np.median(trunk)) / TRUNK


class Closer:
    """Takes the frames in order and reads the hitter where planned."""

    def __init__(
        self,
        plan_: Plan,
        landmarker: Landmarker,
        time_s: NDArray[np.float64],
        walk: Walk,
        camera: NDArray[np.float64],
        background: Backdrop | None,
    ) -> None:
        """Start with what the coarse look already saw of the hitter; camera [F, 3, 3] takes frames to the first."""
        self.plan, self._landmarker, self._camera = plan_, landmarker, camera
        self._height = height_of(walk)
        self._plate, self._plate_looks = NOT_SEEN, 0
        self._bat = BatWatcher(self._height, background)
        count = len(time_s)
        self.keypoints = np.full((count, 33, 2), np.nan, np.float32)
        self.visibility = np.full((count, 33), np.nan, np.float32)
        self.world = np.full((count, 33, 3), np.nan, np.float32)
        for frame, pose in zip(walk.frames, walk.poses, strict=True):
            self.keypoints[frame], self.visibility[frame], self.world[frame] = (
                pose.keypoints_px,
                pose.visibility,
                pose.world_m,
            )
        side = float(np.median([region.side for region in plan_.regions]))
        self._scale = by_halves(side, REGION_PX)

    def take(self, frame: Frame) -> None:
        """Read the hitter in `frame` if it is to be read closely."""
        if not self.plan.close[frame.index]:
            return
        picture, region = frame.rgb(self._scale), self.plan.regions[frame.index]
        pose = self._landmarker.read(picture, self._scale, region)
        sure = pose.presence >= MIN_PRESENCE
        self.keypoints[frame.index] = pose.keypoints_px if sure else np.nan
        self.visibility[frame.index] = pose.visibility if sure else np.nan
        self.world[frame.index] = pose.world_m if sure else np.nan
        if sure and frame.index >= self.plan.windows[0].first + self._plate_looks * PLATE_EVERY:
            self._look_for_plate(picture, pose, self._camera[frame.index])
        points = pose.keypoints_px if sure else np.full((33, 2), np.nan)
        self._bat.take(frame.index, frame.time_s, picture, self._scale, region, self._camera[frame.index], points)

    def _look_for_plate(self, picture: Picture, pose: Pose, to_first: NDArray[np.float64]) -> None:
        """Keep the surest view of the plate in a few frames, in the pixels of the first frame."""
        if self._plate_looks >= PLATE_LOOKS:
            return
        self._plate_looks += 1
        seen = find_plate(picture, self._scale, pose.keypoints_px[[27, 28]].mean(axis=0), self._height)
        if seen.confidence > self._plate.confidence:
            mapped = np.column_stack([seen.corners_px, np.ones(5)]) @ to_first.T
            self._plate = Plate(mapped[:, :2] / mapped[:, 2:], seen.confidence)

    def arrays(self) -> dict[str, Any]:
        """Return the tracks' arrays of the hitter, by their names."""
        count = len(self.keypoints)
        bat, confidence = self._bat.lines(count)
        box = np.concatenate([self.keypoints.min(axis=1), self.keypoints.max(axis=1)], axis=1)
        return {
            "keypoints_px": self.keypoints,
            "visibility": self.visibility,
            "world_m": self.world,
            "box_px": box,
            "camera": self._camera.astype(np.float32),
            "plate_px": self._plate.corners_px.astype(np.float32),
            "plate_confidence": self._plate.confidence,
            "bat_px": bat,
            "bat_confidence": confidence,
            "ball_px": np.full((count, 2), np.nan, np.float32),
        }
