"""The words of reading, as data: instants, views, hands, levels, calls, and their names on screens."""

from __future__ import annotations

from typing import Final

RESULT_SCHEMA: Final = 1

INSTANTS: Final = ("set_up", "load", "foot_down", "swing_start", "contact", "extension", "finish")

INSTANT_NAMES: Final[dict[str, str]] = {
    "set_up": "Set-up",
    "load": "Load",
    "foot_down": "Foot down",
    "swing_start": "Swing start",
    "contact": "Contact",
    "extension": "Extension",
    "finish": "Finish",
}

VIEWS: Final = ("chest_side", "back_side", "catcher_side", "pitcher_side", "unknown")

# Views square to the line: the picture's width runs along the line to the pitcher.
SIDE_VIEWS: Final = ("chest_side", "back_side")

VIEW_NAMES: Final[dict[str, str]] = {
    "chest_side": "the chest side",
    "back_side": "the back side",
    "catcher_side": "the catcher's side",
    "pitcher_side": "the pitcher's side",
    "unknown": "an unknown side",
}

HANDS: Final = ("right", "left")

LEVELS: Final = ("child", "youth", "adult")

CALLS: Final = ("in range", "out of range", "too close to call", "not readable", "coach's eye")
