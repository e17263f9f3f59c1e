"""The learning curve: what more people to fit to would still bring."""

from __future__ import annotations

import json
from pathlib import Path

from analysis.validate.tables import number, table

__all__ = ["curve"]

CURVE = Path(__file__).parents[2] / "tests" / "lift" / "data" / "curve.json"
KINDS = ("in the swing", "recorded motion")


def curve(kept: Path = CURVE) -> tuple[str, str] | None:
    """How the networks were fitted, in words, and their errors by number of clips; None where nobody tried."""
    if not kept.exists():
        return None
    told = json.loads(kept.read_text())
    names = list(told["points"][0][KINDS[0]])
    lines = [
        [str(point["clips"]), str(point["frames"]), *(number(point[kind][name]) for kind in KINDS for name in names)]
        for point in told["points"]
    ]
    heads = ["clips", "frames", *(f"{name}, {kind}" for kind in KINDS for name in names)]
    fitted = f"{told['wide']} wide, {told['steps']} steps of {told['size']} samples"
    return fitted, table(heads, lines, left=0)
