"""The seven instants, each found in a small module of its own, in the order in which they lean on each other."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np

from analysis.read.instants import contact, extension, finish, foot_down, load, set_up, swing_start
from analysis.read.stage import Found, Stage
from analysis.read.terms import INSTANT_NAMES

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

# No hitter's hands come from rest to the ball in less than this (common practice: 130 to 200 ms).
LEAST_SWING_S: Final = 0.05

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
            found = search(stage) if name in _BEFORE or stage.found["contact"] else _unreached(stage)
            stage.found[name] = _seen(name, found)
        if name == "contact" and "swing_start" not in given:
            stage.found["swing_start"] = _before_contact(stage)
    return dict(stage.found)


def _seen(name: str, found: Found) -> Found:
    """An instant as found, unless it fell among frames without the hitter, where no time can be told."""
    if not found or np.isfinite([found.time, found.sd]).all():
        return found
    return Found.no(f"{INSTANT_NAMES[name]} falls where the hitter was not seen; move it by hand to read this.")


def _before_contact(stage: Stage) -> Found:
    """Swing start as found, unless it would leave no time for a swing: then the hands' start was hidden."""
    start, contact = stage.found["swing_start"], stage.found["contact"]
    if start and contact and start.time > contact.time - LEAST_SWING_S * stage.pace:
        return Found.no("The hands were hidden when this swing began; move its start by hand to read this.")
    return start
