"""The learning curves: what more people, and more swings, to fit to would still bring."""

from __future__ import annotations

import json
import textwrap
from pathlib import Path

from analysis.validate.tables import number, table

__all__ = ["curve", "times_curve"]

DATA = Path(__file__).parents[2] / "tests" / "lift" / "data"
CURVE = DATA / "curve.json"
TIMES = DATA / "times-curve.json"


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
    lines = [[str(point["swings"]), *(f"{point['within'][name]:.0%}" for name in names)] for point in told["points"]]
    return _words(told["how"]), table(["swings", *(name.replace("_", " ") for name in names)], lines, left=0)


def _words(how: str) -> str:
    return textwrap.fill(how, 138, break_on_hyphens=False)
