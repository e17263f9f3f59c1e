"""Follow every whole person through the clip at a coarse step, each as one walk."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from analysis.watch.detector import Detector, same_place
from analysis.watch.people import MIN_PRESENCE, SAME_PERSON, is_standing, overlap, search
from analysis.watch.pictures import Picture
from analysis.watch.pose import LEGS, TORSO, Landmarker, Pose
from analysis.watch.region import Floats, Region

MAX_WALKS = 6
FINEST_SEARCHES = 2
MIN_LEGS_FOLLOWED = 0.25  # blur and a net hide legs for moments
SIZE_DRIFT = 1.35  # a body does not grow or shrink more than this against its own median
LOOK_AROUND = 1.5  # of the body's region, where a lost person is searched
TORSO_BINS = 8
SAME_CLOTHES = 0.5  # correlation of colour histograms


@dataclass
class Walk:
    """One person through the clip: frames, poses, and what is needed to know them again."""

    frames: list[int] = field(default_factory=list)
    poses: list[Pose] = field(default_factory=list)
    sides: list[float] = field(default_factory=list)
    clothes: Floats | None = None
    lost: bool = False

    @property
    def region(self) -> Region:
        """Where to look next: the last place at the usual size."""
        last = self.poses[-1].region
        return Region(last.x, last.y, self.side, last.turn)

    @property
    def side(self) -> float:
        """The usual side of this person's region, px: the median of the last sightings."""
        return float(np.median(self.sides[-15:]))

    def add(self, frame: int, pose: Pose, clothes: Floats) -> None:
        """Take a new sighting, with the histogram [N] of the trunk's colours."""
        self.frames.append(frame)
        self.poses.append(pose)
        self.sides.append(pose.region.side)
        self.clothes = clothes if self.clothes is None else 0.9 * self.clothes + 0.1 * clothes
        self.lost = False


class Follower:
    """Takes pictures in order and keeps the walks of the people in them."""

    def __init__(self, detector: Detector, landmarker: Landmarker) -> None:
        """Follow with these networks."""
        self._detector, self._landmarker = detector, landmarker
        self.walks: list[Walk] = []
        self._searches = 0

    def look(self, frame: int, picture: Picture, scale: float, *, search_all: bool) -> None:
        """Follow all walks into this picture [H, W, 3], RGB, shrunk by `scale`; with `search_all`, look for more people, too."""
        for walk in self.walks:
            self._continue(walk, frame, picture, scale)
        self._drop_doubles(frame)
        if search_all:
            # The finest search costs most; once someone has been followed from the start it is not needed again.
            small = self._searches < FINEST_SEARCHES or all(walk.lost for walk in self.walks)
            self._searches += 1
            for pose in search(picture, scale, self._detector, self._landmarker, small=small):
                self._welcome(frame, pose, picture, scale)

    def boxes(self) -> list[Floats]:
        """Return the boxes [4] x0, y0, x1, y1 of the people followed now, px."""
        return [walk.poses[-1].box for walk in self.walks if not walk.lost]

    def _continue(self, walk: Walk, frame: int, picture: Picture, scale: float) -> None:
        if not walk.lost:
            pose = self._landmarker.read(picture, scale, walk.region)
            if fits(walk, pose):
                walk.add(frame, pose, clothes(picture, scale, pose))
                return
        around = Region(walk.region.x, walk.region.y, LOOK_AROUND * walk.side)
        for detection in self._detector.detect(picture, scale, around)[:2]:
            pose = self._landmarker.read(picture, scale, detection.region)
            if fits(walk, pose) and _same_clothes(walk, clothes(picture, scale, pose)):
                walk.add(frame, pose, clothes(picture, scale, pose))
                return
        walk.lost = True

    def _welcome(self, frame: int, pose: Pose, picture: Picture, scale: float) -> None:
        worn = clothes(picture, scale, pose)
        for walk in self.walks:
            if walk.frames[-1] == frame and _same_person(walk.poses[-1], pose):
                return
        lost = [walk for walk in self.walks if walk.lost and _could_be(walk, pose) and _same_clothes(walk, worn)]
        if lost:
            max(lost, key=lambda walk: walk.frames[-1]).add(frame, pose, worn)
        elif len(self.walks) < MAX_WALKS:
            walk = Walk()
            walk.add(frame, pose, worn)
            self.walks.append(walk)

    def _drop_doubles(self, frame: int) -> None:
        """End a walk that has slid onto another person's: the longer one keeps them."""
        here = sorted((walk for walk in self.walks if walk.frames[-1] == frame), key=lambda walk: -len(walk.frames))
        for index, walk in enumerate(here):
            if any(_same_person(walk.poses[-1], other.poses[-1]) for other in here[:index]):
                for kept in (walk.frames, walk.poses, walk.sides):
                    kept.pop()
                walk.lost = True
        self.walks = [walk for walk in self.walks if walk.frames]


def fits(walk: Walk, pose: Pose) -> bool:
    """Say whether `pose` can be the next of `walk`: a body, upright, of the same size."""
    ratio = pose.region.side / walk.side
    return bool(
        pose.presence >= MIN_PRESENCE
        and 1 / SIZE_DRIFT < ratio < SIZE_DRIFT
        and pose.visibility[LEGS].mean() >= MIN_LEGS_FOLLOWED
        and is_standing(pose)
    )


def clothes(picture: Picture, scale: float, pose: Pose) -> Floats:
    """Return a colour histogram [N] of the trunk, normalised, as a mark to know a person by; picture [H, W, 3] RGB, shrunk by `scale`."""
    x0, y0 = np.floor(pose.keypoints_px[TORSO].min(axis=0) * scale).astype(int)
    x1, y1 = np.ceil(pose.keypoints_px[TORSO].max(axis=0) * scale).astype(int)
    part = picture[max(0, y0) : max(0, y1) + 1, max(0, x0) : max(0, x1) + 1].reshape(-1, 3)
    if not len(part):
        return np.zeros(TORSO_BINS**3)
    bins = (part // (256 // TORSO_BINS)).astype(int)
    code = bins[:, 0] * TORSO_BINS**2 + bins[:, 1] * TORSO_BINS + bins[:, 2]
    counts = np.bincount(code, minlength=TORSO_BINS**3).astype(np.float64)
    return np.asarray(counts / counts.sum())


def _same_person(a: Pose, b: Pose) -> bool:
    return same_place(a.region, b.region) or overlap(a.box, b.box) > SAME_PERSON


def _could_be(walk: Walk, pose: Pose) -> bool:
    return 1 / SIZE_DRIFT < pose.region.side / walk.side < SIZE_DRIFT


def _same_clothes(walk: Walk, worn: Floats) -> bool:
    if walk.clothes is None:
        return True
    return float(np.sqrt(walk.clothes * worn).sum()) > SAME_CLOTHES  # Bhattacharyya coefficient
