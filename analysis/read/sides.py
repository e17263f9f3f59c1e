"""Front and rear: which of the hitter's own sides is which."""

from __future__ import annotations

from typing import Final

SIDES: Final = ("left", "right")


def side_of(end: str, hand: str) -> str:
    """The hitter's own side, "left" or "right", that is at the front or rear end.

    >>> side_of("front", "right")
    'left'
    """
    return "left" if (end == "front") == (hand == "right") else "right"
