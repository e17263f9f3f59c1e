"""Groups of views: films from a side, from along the line and from between err differently, so each has factors of its own."""

from __future__ import annotations

from typing import Final

import numpy as np

__all__ = ["GROUPS", "group_of"]

GROUPS: Final = ("side", "between", "along")
# A camera is between the sides and the line where it stands further than this from both, degrees: parents stand about one of
# the four sides, give or take a dozen degrees (common practice, no source).
BETWEEN: Final = 35.0


def group_of(ahead: float) -> str:
    """The group of a film in which the line to the pitcher runs in a direction on ray axes, degrees; NaN counts as from a side."""
    off = np.degrees(np.arccos(np.clip(abs(np.cos(np.radians(ahead))), 0.0, 1.0)))
    if np.isnan(off) or off <= BETWEEN:
        return "side"
    return "along" if off >= 90.0 - BETWEEN else "between"
