"""One swing at its instants, with every perturbation of its errors: what the checkpoints of the book measure.

Joints, instants and the camera's direction are moved within their errors, and how far a measured value moves with them is its
error (see `analysis.read.perturbations`). S is the number of perturbations; number 0 is the best estimate
itself. Positions are in standing heights, with the axes of `analysis.read.geometry`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from analysis.read.arrays import Array
from analysis.read.bodies import joint
from analysis.read.geometry import Samples, bend, heading, span
from analysis.read.sides import side_of
from analysis.read.speed import FilmSpeed

# Half-way between left and right.
_MIDDLES = {"hips": "hip", "shoulders": "shoulder", "ears": "ear", "hands": "wrist"}


class Unreadable(Exception):
    """Something cannot be read; the message is the reason, one kind sentence that may stand on a screen."""


@dataclass(frozen=True)
class Pose:
    """The hitter at one instant.

    points  [S, J, 3] joints in the order of `analysis.read.lift.JOINTS`
    hand    which hand he or she bats with
    """

    points: Array
    hand: str

    def __getitem__(self, name: str) -> Samples:
        """Position [S, 3] of "nose", "front_knee" and the like, or a middle: "hips", "shoulders", "ears", "hands"."""
        if name in _MIDDLES:
            left, right = (self.points[:, joint(f"{side}_{_MIDDLES[name]}")] for side in ("left", "right"))
            return np.asarray((left + right) / 2.0)
        end, _, part = name.partition("_")
        if end in ("front", "rear"):
            name = f"{side_of(end, self.hand)}_{part}"
        return self.points[:, joint(name)]

    def between(self, start: str, end: str) -> Samples:
        """The way [S, 3] from one of these points to another, standing heights on reading axes."""
        return self[end] - self[start]

    def knee_bend(self, end: str) -> Samples:
        """Bend [S] of the "front" or "rear" knee, degrees 0..180; 0 = straight leg. NaN where a joint was not seen."""
        return bend(self[f"{end}_hip"], self[f"{end}_knee"], self[f"{end}_ankle"])

    def opened(self, name: str) -> Samples:
        """Rear-to-front line of the "hip" or "shoulder" against the line, seen from above, degrees [S], -180..180; + = opened."""
        return -heading(self.between(f"rear_{name}", f"front_{name}"))

    def stride(self) -> Samples:
        """Rear ankle to front ankle [S, 3], standing heights on reading axes."""
        return self.between("rear_ankle", "front_ankle")

    def arm(self, end: str) -> Samples:
        """Length [S] of the "front" or "rear" arm, shoulder to elbow to wrist, standing heights."""
        shoulder, elbow, wrist = (self[f"{end}_{part}"] for part in ("shoulder", "elbow", "wrist"))
        return span(elbow - shoulder) + span(wrist - elbow)


@dataclass(frozen=True)
class PerturbedSwing:
    """One swing's instants, in S perturbations.

    poses     pose at each known instant, and at "slot" (rear elbow closest to the rear hip before contact)
    times     film time of each known instant, s, [S]
    missing   of each of the others, why it is not known
    speed     of the film against life
    bat_up    gives, per instant, how steeply the bat stands, degrees [S]; None when no bat was seen
    group     where the camera stood (see `analysis.read.groups`)
    """

    poses: Mapping[str, Pose]
    times: Mapping[str, Samples]
    missing: Mapping[str, str]
    speed: FilmSpeed = field(default=FilmSpeed(1.0, "measured", suspect=False))
    group: str = "side"
    bat_up: Callable[[str], Samples] | None = None

    def at(self, instant: str) -> Pose:
        """The pose at an instant; raises Unreadable with the reason when the instant is not known."""
        if instant not in self.poses:
            raise Unreadable(self.missing[instant])
        return self.poses[instant]

    def seconds(self, start: str, end: str) -> Samples:
        """Real time [S] from one instant to another, s; negative when `end` comes first.

        Raises Unreadable with the reason where either is not known, or the film's speed is not.
        """
        if self.speed.factor is None:
            raise Unreadable(self.speed.reason)
        for instant in (start, end):
            if instant not in self.times:
                raise Unreadable(self.missing[instant])
        return (self.times[end] - self.times[start]) / self.speed.factor

    def travel(self, name: str, start: str, end: str) -> Samples:
        """How far a point moves between two instants, along the line and up, [S] in standing heights.

        name  as of `Pose.__getitem__`. Raises Unreadable where either instant is not known.
        """
        moved = self.at(end)[name] - self.at(start)[name]
        return np.asarray(np.hypot(moved[:, 0], moved[:, 1]))

    def bat_elevation(self, instant: str) -> Samples:
        """Knob to barrel above the horizontal, degrees [S], -90..90.

        Raises Unreadable where the instant is not known, or the bat was not surely seen at it.
        """
        self.at(instant)
        if self.bat_up is None:
            raise Unreadable("The bat was not seen in this swing; drag its two ends on the frame to read its angle.")
        return self.bat_up(instant)
