"""Whether two readings of one checkpoint differ by more than their errors: the smallest change that can be seen.

Each reading has a 90 % interval; half of it over 1.645 is the standard error of measurement. Of two readings with errors s1 and s2
the difference has the variance s1² + s2², and the smallest detectable change at 90 % is 1.645 times its root: with equal errors
1.645 √2 SEM (Bland and Altman, "Measurement error", BMJ 313:744, 1996, whose repeatability takes 1.96 for 95 %; Weir, "Quantifying
test-retest reliability", J Strength Cond Res 19:231, 2005, for the smallest detectable change; both from memory).

Within a clip a part of the error is the same in every swing (`analysis/read/several.json`): it cancels in their difference. Between
clips nothing is taken for shared, although body and habit of filming often are: so a change is rather overlooked than made up.
"""

from __future__ import annotations

from math import sqrt
from typing import Any

from analysis.read.several import common_share
from analysis.read.stage import NINETY

CHANGED, NOT_SEEN, NOT_COMPARABLE = "changed", "no change we can see", "not comparable"


def change(this: dict[str, Any] | None, other: dict[str, Any] | None, view: str = "") -> dict[str, Any]:
    """{"verdict", "difference", "smallest"} of two kept readings; `view` names that of the one clip that holds both, "" for two
    clips. Difference is this minus other; both are None where a side was not read.
    """
    if not this or not other or this["value"] is None or other["value"] is None:
        return {"verdict": NOT_COMPARABLE, "difference": None, "smallest": None}
    difference = this["value"] - other["value"]
    smallest = smallest_change(_error(this), _error(other), common_share(this["checkpoint"], view) if view else 0.0)
    verdict = CHANGED if abs(difference) > smallest else NOT_SEEN
    return {"verdict": verdict, "difference": difference, "smallest": smallest}


def smallest_change(one: float, other: float, common: float) -> float:
    """The smallest difference seen with 90 %, of errors of which the share `common` of the variance is the same in both.

    >>> round(smallest_change(4.0, 4.0, 0.0), 2), round(smallest_change(4.0, 4.0, 0.75), 2), smallest_change(4.0, 4.0, 1.0)
    (9.31, 4.65, 0.0)
    """
    return NINETY * sqrt((1.0 - common) * (one**2 + other**2) + common * (one - other) ** 2)


def _error(reading: dict[str, Any]) -> float:
    """The standard error; an interval that was cut at an end is taken by its longer half."""
    low, high = reading["interval"]
    return float(max(reading["value"] - low, high - reading["value"])) / NINETY
