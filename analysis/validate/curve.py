"""The learning curve: what more people to fit to would still bring."""

from __future__ import annotations

import json
import textwrap
from pathlib import Path

from analysis.validate.tables import number, table

__all__ = ["curve"]

CURVE = Path(__file__).parents[2] / "tests" / "lift" / "data" / "curve.json"


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
    return textwrap.fill(told["how"], 138, break_on_hyphens=False), table(["clips", "frames", *names], lines, left=0)
