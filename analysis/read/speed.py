"""Film speed: does the film run as fast as life did?

A clip that was slowed down before it was sent has honest-looking timestamps and false times. A swing from its
start to contact takes about 0.13 to 0.3 s (common practice, no source); one that takes half a second was slowed
down, or is no swing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from analysis.read import constants as C

SUSPECT_WORDS: Final = (
    "The film seems to run slower than life, so times cannot be told yet. Set the film speed, and all times are read."
)
PROPOSED_WORDS: Final = (
    "The film seems to run {factor:g} times slower than life, so times cannot be told yet. "
    "Confirm the film speed, and all times are read."
)


@dataclass(frozen=True)
class FilmSpeed:
    """factor: how many times slower the film runs than the swing did; None while suspect and not settled by a coach.

    proposed  at how many times slower than life the swings look like swings; None where the film seems to run as life does
    """

    factor: float | None
    source: str
    suspect: bool
    proposed: float | None = None

    @property
    def reason(self) -> str:
        """Why times cannot be read, where they cannot."""
        if self.factor is not None:
            return ""
        return PROPOSED_WORDS.format(factor=round(self.proposed, 1)) if self.proposed else SUSPECT_WORDS


def tagged_factor(clip: dict[str, Any]) -> float:
    """What the maker's capture rate says about the film's speed: 8 for 240 captured and shown at 30; 1 without
    a tag.
    """
    capture, shown = clip.get("capture_fps"), clip.get("measured_fps") or clip.get("nominal_fps")
    if not capture or not shown:
        return 1.0
    factor = float(capture) / float(shown)
    return factor if factor > C.TAGGED_FACTOR else 1.0


def judge_speed(clip: dict[str, Any], swing_times: Sequence[float], slowdown: float, given: float | None) -> FilmSpeed:
    """The film's speed: a coach's word, else real time unless something speaks against it.

    swing_times  film time from swing start to contact of each swing, s
    slowdown         how many times slower than life the swings were found (1 = as life)
    """
    slow = bool(swing_times) and sorted(swing_times)[len(swing_times) // 2] > C.LONGEST_SWING_S
    suspect = slow or slowdown > 1.0 or tagged_factor(clip) > 1.0
    if given is not None:
        return FilmSpeed(given, "coach", suspect)
    return FilmSpeed(None if suspect else 1.0, "measured", suspect, slowdown if slowdown > 1.0 else None)
