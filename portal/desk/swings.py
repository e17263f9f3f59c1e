"""Which swing of a clip is looked at.

A review names its swing by the swing's own index, never by its place in the list: a swing that is taken out leaves the
others' indices as they are (analysis.read promises it), so that what the coach said of one never comes to stand beside
another.
"""

from __future__ import annotations

from typing import Any

from portal.desk.models import Review
from portal.intake.models import Clip

Swing = dict[str, Any]


def result_of(clip: Clip | None) -> dict[str, Any]:
    """The reading of a clip; empty when there is none."""
    measurement = getattr(clip, "measurement", None) if clip else None
    return (measurement.result or {}) if measurement else {}


def frames_of(clip: Clip | None) -> int:
    """How many frames of the clip can be looked at; none before it is measured."""
    return int(result_of(clip).get("clip", {}).get("frames", 0))


def best_swing(result: dict[str, Any] | None) -> int:
    """The index of the swing to look at first: the last that reaches contact, for it comes warmed up; else the first."""
    swings = (result or {}).get("swings", [])
    reaching = [swing["index"] for swing in swings if swing.get("reaches_contact")]
    return reaching[-1] if reaching else (swings[0]["index"] if swings else 0)


def swing_of(review: Review) -> Swing | None:
    """The swing under review; when it was taken out, the one to look at first; None where there is no swing."""
    result = result_of(review.clip)
    by_index = {swing["index"]: swing for swing in result.get("swings", [])}
    return by_index.get(review.swing) or by_index.get(best_swing(result))


def place_of(review: Review) -> tuple[int, int]:
    """The swing's place among those that are left, from 1, and their number: "swing 2 of 3"; (0, 0) without a swing."""
    swings = result_of(review.clip).get("swings", [])
    swing = swing_of(review)
    return (swings.index(swing) + 1, len(swings)) if swing else (0, 0)
