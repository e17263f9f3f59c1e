"""The learning curves: what more people, and more swings, to fit to would still bring."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from analysis.validate.tables import number, table

__all__ = ["curve", "errors_by_clips", "reach", "reach_of_bat", "reach_of_instants", "shares_by_swings", "times_curve"]

DATA = Path(__file__).parents[2] / "tests" / "lift" / "data"
CURVE = DATA / "curve.json"
TIMES = DATA / "times-curve.json"
REACH = DATA / "reach.json"
REACH_OF_BAT = DATA / "reach-bat.json"
REACH_OF_INSTANTS = DATA / "reach-instants.json"
SWING = ", in the swing"


def curve(kept: Path = CURVE) -> tuple[str, str] | None:
    """How the networks were fitted and judged, in words, and their errors by number of clips; None where nobody tried."""
    if not kept.exists():
        return None
    told = json.loads(kept.read_text())
    names = list(told["points"][0]["errors"])
    lines = [
        [str(point["clips"]), str(point["frames"]), *(number(point["errors"][name]) for name in names)]
        for point in told["points"]
    ]
    return _words(told["how"]), table(["clips", "frames", *names], lines, left=0)


def times_curve(kept: Path = TIMES) -> tuple[str, str] | None:
    """The same of the network of the instants: shares of them near the truth by number of swings."""
    if not kept.exists():
        return None
    told = json.loads(kept.read_text())
    names = list(told["points"][0]["within"])
    lines = [[str(point["swings"]), *_within(point, names)] for point in told["points"]]
    return _words(told["how"]), table(["swings", *(name.replace("_", " ") for name in names)], lines, left=0)


def _within(point: Mapping[str, Any], names: list[str]) -> list[str]:
    """Shares of the instants near the truth, as cells."""
    return [f"{point['within'][name]:.0%}" for name in names]


def reach(kept: Path = REACH) -> tuple[str, str] | None:
    """What keypoints that are placed better would bring: how it was tried, and errors by the part of today's errors that is left."""
    if not kept.exists():
        return None
    told = json.loads(kept.read_text())
    names = list(told["points"][0]["told"])
    lines = [
        [
            f"{point['errors']:.0%}",
            "yes" if point["learned body"] else "no",
            *(number(point["told"][name]) for name in names),
        ]
        for point in told["points"]
    ]
    return _words(told["how"]), table(["errors left", "world landmarks", *names], lines, left=0)


def reach_of_instants(kept: Path = REACH_OF_INSTANTS) -> tuple[str, str] | None:
    """The same of the instants: shares of them near the truth by the part of today's errors that is left."""
    if not kept.exists():
        return None
    told = json.loads(kept.read_text())
    names = list(told["points"][0]["within"])
    lines = [[f"{point['errors']:.0%}", *_within(point, names)] for point in told["points"]]
    tables = [table(["errors left", *names], lines, left=0)]
    if "drawn" in told:
        drawn = [[row["told"], *_within(row, names)] for row in told["drawn"]]
        tables += [_words(told["how_drawn"]), table(["drawn swings", *names], drawn, left=1)]
    return _words(told["how"]), "\n\n".join(tables)


def reach_of_bat(kept: Path = REACH_OF_BAT) -> tuple[str, str] | None:
    """The same of the angle of the bat: errors by what of it is known."""
    if not kept.exists():
        return None
    told = json.loads(kept.read_text())
    names = list(told["points"][0]["told"])
    lines = [[point["known"], *(number(point["told"][name]) for name in names)] for point in told["points"]]
    return _words(told["how"]), table(["known of the bat", *names], lines, left=1)


def errors_by_clips(kept: Path = CURVE) -> tuple[dict[str, list[tuple[int, float]]], dict[str, tuple[int, float]]]:
    """By what is measured, errors of single frames in the swing against how many clips a network was fitted to.

    First of networks that are alike, then of the one that is in use.
    """
    points = json.loads(kept.read_text())["points"]
    names = [name for name in points[0]["errors"] if name.endswith(SWING)]
    alike = {
        name.removesuffix(SWING): [(point["clips"], point["errors"][name]) for point in points if not point.get("used")]
        for name in names
    }
    last = {
        name.removesuffix(SWING): (point["clips"], point["errors"][name])
        for point in points if point.get("used")
        for name in names
    }  # fmt: skip
    return alike, last


def shares_by_swings(kept: Path = TIMES) -> dict[str, list[tuple[int, float]]]:
    """By instant and view, the share told within so many frames against how many swings a network was fitted to."""
    points = json.loads(kept.read_text())["points"]
    return {
        name.replace("_", " "): [(point["swings"], point["within"][name]) for point in points]
        for name in points[0]["within"]
    }


def _words(how: str) -> str:
    return textwrap.fill(how, 138, break_on_hyphens=False)
