"""Groups of views: films from a side, from along the line and from between err differently, so each has factors of its own.

Where home plate shows the line, what goes by the line errs less; such films are a group beside each of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from analysis.read import constants as C
from analysis.read.terms import SIDE_VIEWS

GROUPS: Final = ("side", "between", "along")
_PLATE: Final = ", plate seen"


def with_plate(group: str) -> str:
    """The group of films in which home plate shows the line."""
    return group + _PLATE


def without_plate(group: str) -> str:
    """The group of views that a group belongs to."""
    return group.removesuffix(_PLATE)


def group_of_view(view: str) -> str:
    """The group of a view in which the camera stands where it should."""
    return "side" if view in SIDE_VIEWS else "along"


def group_of(ahead: float) -> str:
    """The group of a film in which the line to the pitcher runs in a direction on ray axes, degrees; NaN counts as from a side."""
    off = np.degrees(np.arccos(np.clip(abs(np.cos(np.radians(ahead))), 0.0, 1.0)))
    if np.isnan(off) or off <= C.BETWEEN_VIEWS:
        return "side"
    return "along" if off >= 90.0 - C.BETWEEN_VIEWS else "between"


def fitted(facts: Mapping[str, Mapping[str, float]], name: str, group: str, otherwise: float) -> float:
    """What calibration gave for a checkpoint or an instant in a group; where a plate in sight changes nothing, there is one for both."""
    known = facts.get(name, {})
    return known.get(group, known.get(without_plate(group), otherwise))
