"""Where an aim is missed: what would be left if what is seen were true, as far as it was tried (`tests/lift/data`)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from analysis.validate.curve import REACH, REACH_OF_BAT, REACH_OF_INSTANTS
from analysis.validate.tables import number, table

__all__ = ["limits"]

# The line of `reach.json` in which keypoints in the picture are exact and nothing else is known, and that of the least errors tried.
EXACT = (0.0, False)
QUARTER = (0.25, True)


def limits() -> str:
    """One line for each kind of number that misses its aim, with what is tried to come nearer and what is left then."""
    hidden = "likewise; the shortest of all lines, and under clothes"
    lines = [
        ["knees, °", "one view; more clips to fit to change little", "5", *_angles("knees")],
        ["shoulders, °", "likewise", "6", *_angles("shoulders")],
        ["hips, °", hidden, "8", *_angles("hips")],
        ["front foot, °", "toe and heel are near each other, and deep in the picture", "4", *_angles("foot")],
        ["angle of the bat, °", "which end is nearer, and by how much", "4", *_bat()],
        ["foot down within a frame", "hidden feet, not too few swings", "95%", *_within("foot down within 1, side")],
        ["swing start within two", "blurred hands", "90%", *_within("swing start within 2, side")],
    ]
    return table(["from the sides", "hangs on", "aim", "true places in the picture", "nearly all true"], lines, left=2)


def _read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def _angles(name: str) -> list[str]:
    """Mean errors with exact keypoints alone, and with keypoints and world landmarks a quarter as wrong as they are."""
    points = {(point["errors"], point["learned body"]): point["told"][name] for point in _read(REACH)["points"]}
    return [number(points[EXACT]), number(points[QUARTER])]


def _bat() -> list[str]:
    """Mean errors with true ends and length, and with the side in depth besides."""
    told = {point["known"]: point["told"]["side"] for point in _read(REACH_OF_BAT)["points"]}
    return [number(told["true ends and length"]), number(told["true ends, length and side in depth"])]


def _within(name: str) -> list[str]:
    """Shares with true keypoints, and with true bodies besides."""
    told = {row["told"]: row["within"][name] for row in _read(REACH_OF_INSTANTS)["drawn"]}
    return [f"{told['true keypoints in the picture']:.0%}", f"{told['both true']:.0%}"]
