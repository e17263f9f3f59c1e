"""What was read in judged clips, beside its truth: one row for each reading, instant and clip."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Protocol, TypeVar

from analysis.read.checkpoint import Band

__all__ = ["GROUPS", "Counted", "Judged", "Key", "Told", "grouped"]

# Where the camera stood: within 35 degrees of square to the line, within 35 of the line, or between.
GROUPS = ("side", "between", "along")


@dataclass(frozen=True)
class Told:
    """A checkpoint's reading beside its truth; value and interval are None where it was not readable.

    Any width: the value that would be told however wide its interval; None where the view hides it or the parts were not seen.
    """

    clip: int
    group: str
    rate: int
    name: str
    truth: float
    value: float | None
    interval: tuple[float, float] | None
    band: Band
    call: str
    at_any_width: float | None = None

    @property
    def read(self) -> bool:
        """Whether there is a value."""
        return self.value is not None and self.interval is not None

    @property
    def error(self) -> float:
        """Value minus truth, of one that was read."""
        assert self.value is not None
        return self.value - self.truth

    @property
    def half(self) -> float:
        """Half the interval's width, of one that was read."""
        assert self.interval is not None
        return (self.interval[1] - self.interval[0]) / 2.0

    @property
    def held(self) -> bool:
        """Whether the interval holds the truth, of one that was read."""
        assert self.interval is not None
        return self.interval[0] <= self.truth <= self.interval[1]

    @property
    def sound(self) -> bool:
        """Whether the truth lies in the band."""
        low, high = self.band
        return (low is None or low <= self.truth) and (high is None or self.truth <= high)


@dataclass(frozen=True)
class Timed:
    """An instant beside its truth, both counted in frames of the clip; off and half are None where it was not found."""

    clip: int
    group: str
    rate: int
    name: str
    off: float | None
    half: float | None


@dataclass(frozen=True)
class Counted:
    """Swings found in a clip, how many there are, and whether the hand was told right (None where none was told or asked).

    found  those that reach contact; checked, others that were taken for a checked swing
    """

    clip: int
    group: str
    rate: int
    kind: str
    found: int
    wanted: int
    hand_right: bool | None
    checked: int = 0


@dataclass(frozen=True)
class Judged:
    """All rows of some clips."""

    told: list[Told] = field(default_factory=list)
    timed: list[Timed] = field(default_factory=list)
    counted: list[Counted] = field(default_factory=list)

    def with_more(self, other: Judged) -> Judged:
        """These rows and others."""
        return Judged(self.told + other.told, self.timed + other.timed, self.counted + other.counted)


class _Row(Protocol):
    @property
    def group(self) -> str: ...
    @property
    def rate(self) -> int: ...
    @property
    def name(self) -> str: ...


Key = tuple[str, str, int]
Row = TypeVar("Row", bound=_Row)


def grouped(rows: Iterable[Row], order: Iterable[str]) -> Mapping[Key, list[Row]]:
    """Rows by name (in that order), group of view and frames a second."""
    by: dict[Key, list[Row]] = defaultdict(list)
    for row in rows:
        by[row.name, row.group, row.rate].append(row)
    names = {name: place for place, name in enumerate(order)}
    return {key: by[key] for key in sorted(by, key=lambda key: (names[key[0]], GROUPS.index(key[1]), key[2]))}
