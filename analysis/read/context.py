"""One swing laid out for the search of its instants: the rows needed, with what is known already."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array, Frames, step_of
from analysis.read.body import middle
from analysis.read.facing import Facing
from analysis.read.groups import group_of
from analysis.read.motion import Motion
from analysis.read.sides import side_of
from analysis.read.swings import Candidate


@dataclass(frozen=True)
class Found:
    """An instant found at a film time with a deviation, s; or not found, with the reason (then it is falsy)."""

    time: float = float("nan")
    sd: float = float("nan")
    source: str = "measured"
    reason: str | None = None

    def __bool__(self) -> bool:
        return self.reason is None


@dataclass(frozen=True)
class Sound:
    """Cracks in the sound track: film times, s, already earlier by the way of the sound, with strengths,
    and the onset strength all along, on the same clock."""

    times: Array
    strengths: Array
    sd: float
    level_times: Array
    level: Array


@dataclass
class SwingContext:
    """What the search for one swing's instants works on.

    bat     [F, 3] knob to barrel in standing heights: x right, y up of the picture, and confidence; NaN where not seen
    distance  of the hips from a camera of the usual focal length, standing heights
    earliest, latest    first and last frame that are no neighbour's
    full    whether the swing reaches contact
    found   instants known so far, put in by the search or by a coach
    """

    motion: Motion
    swing: Candidate
    facing: Facing
    bat: Array
    distance: float
    sound: Sound | None
    earliest: int
    latest: int
    full: bool
    found: dict[str, Found] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.times: Array = self.motion.times
        self.step: float = step_of(self.times)
        # How many times slower than life the film runs: spans given in real seconds are stretched by it.
        self.slowdown: float = self.motion.slowdown

    @property
    def frame_sd(self) -> float:
        """Deviation of a moment that is only known to lie within a frame, s."""
        return float(self.step * C.FRAME_SHARE)

    @property
    def from_side(self) -> bool:
        """Whether the line lies in the picture rather than in depth."""
        return bool(abs(np.cos(np.radians(self.facing.ahead))) > C.SQUARE_ENOUGH)

    @property
    def group(self) -> str:
        """Where the camera stood: what was fitted to films of one group of views is used for it."""
        return group_of(self.facing.ahead)

    def front_foot(self) -> Array:
        """Path [F, 2] of the middle of the front foot in the steadied picture, standing heights."""
        side = side_of("front", self.facing.hand)
        return middle(self.motion.space[..., :2], *(f"{side}_{part}" for part in ("ankle", "heel", "toe")))

    def span(self, start: float, end: float) -> Frames:
        """Frames [N] of this swing between two film times, s, both ends with it; none of its neighbours'. May be empty."""
        inside = (self.times >= start - 1e-9) & (self.times <= end + 1e-9)
        inside[: self.earliest], inside[self.latest + 1 :] = False, False
        return np.flatnonzero(inside)
