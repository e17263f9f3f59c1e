"""Which drills help with a checkpoint whose value lies on one side of its band (static/js/desk/fitting.js is its twin).

What helps against too little is wrong against too much, so a drill says against which side of the band it is: "low", "high",
or "both" where it leads to the middle from either. A coach's own drill may not have said it yet.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum

from portal.drills.models import Drill

LOW, HIGH, BOTH = "low", "high", "both"
SIDES = (LOW, HIGH)


class Fit(IntEnum):
    """How a drill fits, best first; one for the other side does harm, and comes after those that train something else."""

    THIS_SIDE = 0
    BOTH_SIDES = 1
    NOT_SURE = 2
    ELSEWHERE = 3
    OTHER_SIDE = 4


def fit(drill: Drill, checkpoint: str, side: str) -> Fit:
    """How a drill fits a checkpoint on this side of its band; "" where the side is not sure, or where it has none.

    Where the side is not sure, a drill that leads to the middle from either side comes before one that needs it known.
    """
    if checkpoint not in drill.trains:
        return Fit.ELSEWHERE
    against = drill.against.get(checkpoint, "")
    if against == BOTH:
        return Fit.BOTH_SIDES
    if not side or not against:
        return Fit.NOT_SURE
    return Fit.THIS_SIDE if against == side else Fit.OTHER_SIDE


def best_first(drills: Iterable[Drill], checkpoint: str, side: str) -> list[Drill]:
    """Drills that fit before others; of those that fit alike, the one for which this checkpoint comes first."""

    def place(drill: Drill) -> tuple[int, int, str]:
        trained = drill.trains.index(checkpoint) if checkpoint in drill.trains else 0
        return fit(drill, checkpoint, side), trained, drill.title

    return sorted(drills, key=place)
