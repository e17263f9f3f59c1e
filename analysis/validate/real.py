"""Tables of real pictures: a person before four cameras, and films sent in several ways."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from analysis.validate.tables import number, table
from tests.four_cameras.angles import BENDS, LINES, all_compared

__all__ = ["four_cameras", "repeats"]

REPEATS = Path(__file__).parents[2] / "tests" / "repeats" / "data" / "repeats.json"


def four_cameras() -> str:
    """Mean absolute errors of one view against four, of the lift and of the world landmarks."""
    names, lines, every = [*BENDS, *LINES], [], []
    for camera in all_compared():
        for who, errors in (("lift", camera.lift), ("world landmarks", camera.world)):
            own = [float(np.nanmean(errors[name])) for name in names]
            every.append((who, own))
            lines.append([camera.camera, who, *(number(value) for value in [*own, float(np.mean(own))])])
    for who in ("lift", "world landmarks"):
        mean = np.mean([own for name, own in every if name == who], axis=0)
        lines.append(["**all**", who, *(number(value) for value in [*mean, float(np.mean(mean))])])
    return table(["camera", "by", *names, "mean"], lines)


def repeats() -> str | None:
    """How far readings and instants moved from one way of sending a film to the next; None where nobody tried."""
    if not REPEATS.exists():
        return None
    heads = [
        "film", "swings found", "readings in °: median SD", "worst", "in %: median SD", "worst", "not always readable", "call changes",
        "instants: same frame", "≤ 1 frame", "worst", "contact: worst", "foot down: worst",
    ]  # fmt: skip
    return table(heads, [_repeated(film, told) for film, told in json.loads(REPEATS.read_text()).items()])


def _repeated(film: str, told: dict[str, Any]) -> list[str]:
    cells = [film, " ".join(str(count) for count in told["swings"].values())]
    for unit in ("°", "%"):
        own = [sd for name, sd in told["readings"].items() if told["units"][name].startswith(unit)]
        cells += [number(float(np.median(own)) if own else np.nan), number(max(own, default=np.nan))]
    moved = np.array(list(told["instants"].values()))
    shares = [f"{np.mean(moved <= reach):.0%}" if moved.size else "–" for reach in (0, 1)]
    worst = [
        max((by for name, by in told["instants"].items() if name.endswith(which)), default=np.nan)
        for which in ("", "contact", "foot_down")
    ]
    return [*cells, str(told["lost"]), str(told["calls"]), *shares, *(number(float(by), 0) for by in worst)]
