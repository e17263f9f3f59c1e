"""The seven instants, each found in a small module of its own, in the order in which they lean on each other."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from analysis.read.instants import contact, extension, finish, foot_down, load, set_up, swing_start
from analysis.read.stage import Found, Stage

__all__ = ["find_instants"]

_SEARCHES: Final[dict[str, Callable[[Stage], Found]]] = {
    "swing_start": swing_start.find,
    "contact": contact.find,
    "foot_down": foot_down.find,
    "load": load.find,
    "set_up": set_up.find,
    "extension": extension.find,
    "finish": finish.find,
}

# These are looked for even in a swing that never reaches contact.
_BEFORE: Final = frozenset(("swing_start", "contact", "foot_down", "load", "set_up"))


def _unreached(stage: Stage) -> Found:
    return Found.no(str(stage.found["contact"].reason))


def find_instants(stage: Stage, given: Mapping[str, int] | None = None) -> dict[str, Found]:
    """All seven instants of one swing; `given` are frames a coach chose, and the others are found around them."""
    given = given or {}
    for name, frame in given.items():
        # A chosen frame says: nearest to the moment; so the moment lies within half a frame of it.
        stage.found[name] = Found(float(stage.times[frame]), stage.frame_sd, "coach")
    for name, search in _SEARCHES.items():
        if name not in given:
            stage.found[name] = search(stage) if name in _BEFORE or stage.found["contact"] else _unreached(stage)
    return dict(stage.found)
