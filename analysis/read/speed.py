"""Film speed: does the film run as fast as life did?

A clip that was slowed down before it was sent has honest-looking timestamps and false times. A swing from its
start to contact takes about 0.13 to 0.3 s (common practice, no source); one that takes half a second was slowed
down, or is no swing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from analysis.read import constants as C


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
        """Why times cannot be read where there is no factor."""
        times, settle = (f"{round(self.proposed, 1):g} times ", "Confirm") if self.proposed else ("", "Set")
        slow = f"The film seems to run {times}slower than life, so times cannot be told yet."
        return f"{slow} {settle} the film speed, and all times are read."


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
