"""One swing at its instants, drawn many times over: what the checkpoints of the book measure.

A draw is one way the swing may have been, given what was seen: keypoints, instants, camera direction and
lengths are drawn within their errors, and the spread of a measured value over the draws is its error. S is
the number of draws; draw 0 is the best estimate itself. Positions are in standing heights, with the axes of
`analysis.read.geometry`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from analysis.read.geometry import Draws, bend, from_vertical, heading
from analysis.read.grip import hands_of
from analysis.read.sides import side_of
from analysis.read.terms import INSTANT_NAMES
from analysis.tracks import KEYPOINTS

__all__ = ["Moments", "Pose", "Unreadable"]

_MIDDLES = {
    "hips": ("left_hip", "right_hip"),
    "shoulders": ("left_shoulder", "right_shoulder"),
    "ears": ("left_ear", "right_ear"),
}


class Unreadable(Exception):
    """Something cannot be read; the message is the reason, one kind sentence that may stand on a screen."""


@dataclass(frozen=True)
class Pose:
    """The hitter at one instant.

    points      [S, 33, 3]
    hand        which hand he or she bats with
    lead_share  how far the hands go by the lead wrist
    knees       bend [S] of the front and rear knee, degrees, where it is known better than from the points
    """

    points: NDArray[np.float64]
    hand: str
    lead_share: float = 1.0
    knees: Mapping[str, Draws] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Draws:
        """Position [S, 3] of "nose", "front_knee" and the like, or a middle: "hips", "shoulders", "ears", "hands"."""
        if name == "hands":
            return hands_of(self.points, side_of("front", self.hand), self.lead_share)
        if name in _MIDDLES:
            first, second = _MIDDLES[name]
            return np.asarray((self.points[:, KEYPOINTS[first]] + self.points[:, KEYPOINTS[second]]) / 2.0)
        end, _, joint = name.partition("_")
        if end in ("front", "rear"):
            name = f"{side_of(end, self.hand)}_{joint}"
        return self.points[:, KEYPOINTS[name]]

    def knee_bend(self, end: str) -> Draws:
        """Bend of the front or rear knee, degrees; 0 = straight leg."""
        if end in self.knees:
            return self.knees[end]
        return bend(self[f"{end}_hip"], self[f"{end}_knee"], self[f"{end}_ankle"])


@dataclass(frozen=True)
class Moments:
    """One swing's instants, drawn S times.

    poses     pose at each known instant, and at "slot" (rear elbow closest to the rear hip before contact)
    times     film time of each known instant, s, [S]
    lengths   "trunk", "shoulders", "hips", "arm", "foot", in standing heights, [S]
    missing   why an instant is not known
    speed     how many times slower the film runs than the swing did; None while that is not settled
    bat_up    gives, per instant, how much of the bat's length points up, [S]; None when no bat was seen
    from_side whether the line lies in the picture rather than in depth
    """

    poses: Mapping[str, Pose]
    times: Mapping[str, Draws]
    lengths: Mapping[str, Draws]
    missing: Mapping[str, str] = field(default_factory=dict)
    speed: float | None = 1.0
    speed_reason: str = ""
    from_side: bool = True
    bat_up: Callable[[str], Draws] | None = None

    def at(self, instant: str) -> Pose:
        """The pose at an instant; raises Unreadable with the reason when the instant is not known."""
        if instant not in self.poses:
            raise Unreadable(self._why_missing(instant))
        return self.poses[instant]

    def slot(self) -> Pose:
        """The pose when the rear elbow is closest to the rear hip, between swing start and contact."""
        return self.at("slot")

    def seconds(self, start: str, end: str) -> Draws:
        """Real time from one instant to another, s; negative when `end` comes first."""
        if self.speed is None:
            raise Unreadable(self.speed_reason)
        for instant in (start, end):
            if instant not in self.times:
                raise Unreadable(self._why_missing(instant))
        return (self.times[end] - self.times[start]) / self.speed

    def travel(self, name: str, start: str, end: str) -> Draws:
        """How far a point moves between two instants, in the picture's plane, in standing heights."""
        way = self.at(end)[name] - self.at(start)[name]
        return np.asarray(np.hypot(way[:, 0], way[:, 1]))

    def trunk_lean(self, instant: str) -> Draws:
        """Trunk, from mid-hips to mid-shoulders, away from the vertical, degrees.

        Along the line it stands in the picture. From a side the pose model straightens a trunk that leans
        toward or away from the camera; there the lean follows from how much shorter than itself the trunk
        looks.
        """
        pose = self.at(instant)
        trunk = pose["shoulders"] - pose["hips"]
        if not self.from_side:
            return from_vertical(trunk)
        return np.asarray(np.degrees(np.arccos(np.clip(trunk[:, 1] / self.lengths["trunk"], -1.0, 1.0))))

    def opened(self, name: str, instant: str) -> Draws:
        """Rear-to-front line of the "hip" or "shoulder" against the line, seen from above, degrees; + = opened.

        Along the line its turn shows in the picture, and the width of the body tells how far; its depth is
        misjudged there.
        """
        pose = self.at(instant)
        across = pose[f"front_{name}"] - pose[f"rear_{name}"]
        if self.from_side:
            return -heading(across)
        return np.asarray(-np.degrees(np.arcsin(np.clip(across[:, 2] / self.lengths[f"{name}s"], -1.0, 1.0))))

    def length(self, name: str) -> Draws:
        """A length of this hitter's body, in standing heights."""
        return self.lengths[name]

    def stride(self) -> Draws:
        """Rear ankle to front ankle at foot down."""
        pose = self.at("foot_down")
        return pose["front_ankle"] - pose["rear_ankle"]

    def front_foot(self) -> Draws:
        """Heel to toe of the front foot at foot down.

        The part that lies in the picture is taken, and the rest follows from the foot's length: the
        pose model shortens a foot that points at the camera.
        """
        pose = self.at("foot_down")
        foot = pose["front_toe"] - pose["front_heel"]
        length = self.lengths["foot"]
        seen, hidden = (0, 2) if self.from_side else (2, 0)
        foot[:, seen] = np.clip(foot[:, seen], -length, length)
        foot[:, hidden] = np.sqrt(length**2 - foot[:, seen] ** 2)
        return foot

    def bat_elevation(self, instant: str) -> Draws:
        """Knob to barrel above the horizontal, degrees -90..90."""
        if instant not in self.poses:
            raise Unreadable(self._why_missing(instant))
        if self.bat_up is None:
            raise Unreadable("The bat was not seen in this swing; drag its two ends on the frame to read its angle.")
        return np.degrees(np.arcsin(np.clip(self.bat_up(instant), -1.0, 1.0)))

    def _why_missing(self, instant: str) -> str:
        name = INSTANT_NAMES.get(instant, instant)
        return self.missing.get(instant, f"{name} was not found in this swing; move it by hand to read this.")
