"""Whether two readings of one checkpoint differ by more than their errors: the smallest change that can be seen.

Each reading has a 90 % interval; half of it over 1.645 is the standard error of measurement. Of two readings with errors s1 and s2
the difference has the variance s1² + s2², and the smallest detectable change at 90 % is 1.645 times its root: with equal errors
1.645 √2 SEM (Bland and Altman, "Measurement error", BMJ 313:744, 1996, whose repeatability takes 1.96 for 95 %; Weir, "Quantifying
test-retest reliability", J Strength Cond Res 19:231, 2005, for the smallest detectable change; both from memory).

Within a clip a part of the error is the same in every swing: it cancels in their difference. What share of the variance that is was
measured on drawn hitters who swing several times; taken is its lower limit (`change.json`, written by
`tests/portal/measuring/draw_shares.py`), not the upper one that a median needs (`analysis/read/several.json`), which would take 15 of
100 pairs without a change for changed. Where nothing is known, and between clips, nothing is taken for shared, although body and habit of
filming often are: a change is rather overlooked than made up.
"""

from __future__ import annotations

import json
from functools import lru_cache
from math import sqrt
from pathlib import Path
from typing import Any

from analysis.read.constants import Z_90
from analysis.read.terms import SIDE_VIEWS

CHANGED, NOT_SEEN, NOT_COMPARABLE = "changed", "no change we can see", "not comparable"


def change(this: dict[str, Any] | None, other: dict[str, Any] | None, view: str = "") -> dict[str, Any]:
    """{"verdict", "difference", "smallest"} of two kept readings; `view` names that of the one clip that holds both, "" for two
    clips. Difference is this minus other; both are None where a side was not read.
    """
    if not this or not other or this["value"] is None or other["value"] is None:
        return {"verdict": NOT_COMPARABLE, "difference": None, "smallest": None}
    difference = this["value"] - other["value"]
    smallest = smallest_change(_error(this), _error(other), surely_common(this["checkpoint"], view) if view else 0.0)
    verdict = CHANGED if abs(difference) > smallest else NOT_SEEN
    return {"verdict": verdict, "difference": difference, "smallest": smallest}


def smallest_change(one: float, other: float, common: float) -> float:
    """The smallest difference seen with 90 %, of errors of which the share `common` of the variance is the same in both.

    >>> round(smallest_change(4.0, 4.0, 0.0), 2), round(smallest_change(4.0, 4.0, 0.75), 2), smallest_change(4.0, 4.0, 1.0)
    (9.31, 4.65, 0.0)
    """
    return Z_90 * sqrt((1.0 - common) * (one**2 + other**2) + common * (one - other) ** 2)


def surely_common(checkpoint: str, view: str) -> float:
    """What share of the variance of an error at least stays from swing to swing of a clip seen from this view; 0 where it is unknown."""
    known = _known().get(checkpoint, {})
    if view == "unknown":
        return min(known.get(kind, 0.0) for kind in ("side", "along"))
    return known.get("side" if view in SIDE_VIEWS else "along", 0.0)


@lru_cache(maxsize=1)
def _known() -> dict[str, dict[str, float]]:
    shares: dict[str, dict[str, float]] = json.loads(Path(__file__).with_name("change.json").read_text())["common"]
    return shares


def _error(reading: dict[str, Any]) -> float:
    """The standard error; an interval that was cut at an end is taken by its longer half."""
    low, high = reading["interval"]
    return float(max(reading["value"] - low, high - reading["value"])) / Z_90
