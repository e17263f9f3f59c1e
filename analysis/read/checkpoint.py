"""What a checkpoint is: a thing the coach looks at, as data plus one small function."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from analysis.read.arrays import Array
from analysis.read.perturbed_swing import PerturbedSwing
from analysis.read.terms import VIEWS

# (lowest, highest) wanted value; None leaves that end open, (None, None) wants nothing.
Band = tuple[float | None, float | None]

# Takes the moments of one swing, drawn many times over, and gives one value per draw: [S], NaN where it has
# none.
Measure = Callable[[PerturbedSwing], Array]


def same_band(low: float | None, high: float | None) -> dict[str, Band]:
    """One band for every level."""
    return {"child": (low, high), "youth": (low, high), "adult": (low, high)}


@dataclass(frozen=True)
class Checkpoint:
    """One entry of the book.

    id           fixed name, used in files, addresses and results
    instants     where it is read; the first is the stop of the walk it belongs to
    name         on screens
    unit         "°", "%", "ms", "× shoulder width", "% of arm length", ... or "" when only the eye rates it
    definition   what exactly is measured, with zero and sign
    views        views in which it can be read; every one unless said
    bands        wanted range per level
    band_source  where the band comes from
    scale        ends of the reading strip, in the unit
    good_words   one sentence for parents and players when it is good; it praises what the number tells, and no more
    why          one sentence: why it matters in a game. It stands behind `low_words` and behind `high_words`, so it speaks for the
                 middle, or names what either side does, and never argues for more of what is too much already
    measure      None when only the coach's eye can rate it
    low_words, high_words   one sentence each for when the value is below the band, and above it: what helps against too little
                 is wrong against too much. Both are there where the book's band is open at an end, for a camp may close it
    work_words   one sentence for when it is to be worked on, where only the eye rates it
    sides        what it is on either side of its band, in two or three words: ("too straight", "too bent")
    """

    id: str
    instants: tuple[str, ...]
    name: str
    definition: str
    bands: Mapping[str, Band]
    scale: tuple[float, float]
    good_words: str
    why: str
    unit: str = ""
    views: tuple[str, ...] = VIEWS
    measure: Measure | None = None
    low_words: str = ""
    high_words: str = ""
    work_words: str = ""
    sides: tuple[str, str] = ("", "")
    band_source: str = "common practice among coaches, no source"

    @property
    def instant(self) -> str:
        """The stop of the walk at which it is looked at."""
        return self.instants[0]

    def words_for(self, side: str) -> str:
        """What to say about it when it is to be worked on, its value "low" or "high"; nothing where the side is not sure."""
        return self.work_words or {"low": self.low_words, "high": self.high_words}.get(side, "")

    def side_words(self, side: str) -> str:
        """What it is when its value is "low" or "high": "too straight"; nothing for any other side."""
        return {"low": self.sides[0], "high": self.sides[1]}.get(side, "")

    @property
    def by_eye(self) -> bool:
        """Whether only the coach's eye can rate it."""
        return self.measure is None
