"""How finely phone clips tell a checkpoint: half of the usual 90 % interval, from what was read here lately."""

from __future__ import annotations

from collections import defaultdict
from statistics import median

from portal.measuring.models import Measurement, Stage

CLIPS = 20  # their results are read whole
ENOUGH = 5  # readings of a checkpoint, before its own site says more than our films

# Medians over the committed tracks (tests/analysis/read/data), by `python -m tests.portal.measuring.usual_errors`.
ON_OUR_FILMS = {
    "setup_base_width": 0.18, "setup_front_knee": 11, "setup_rear_knee": 16, "setup_trunk_lean": 9, "setup_face": 24,
    "load_hands_back": 3, "load_head_travel": 1.3,
    "down_front_knee": 14, "down_rear_knee": 13, "down_knee_balance": 20, "down_front_knee_inside": 6.3, "down_rear_knee_inside": 4.9,
    "down_hips_square": 14, "down_shoulders_square": 16, "down_head_centre": 2.9,
    "down_foot_opening": 19, "down_stride_length": 2.7, "down_bat_angle": 14,
    "time_to_start": 59, "start_to_contact": 49, "down_to_contact": 30, "swing_elbow_line": 13,
    "contact_front_knee": 13, "contact_head_travel": 1.5, "extension_reach": 3.9,
    "finish_hands_height": 4.6, "finish_balance": 5.9,
}  # fmt: skip


def usual_errors() -> dict[str, float]:
    """By checkpoint: give or take how much a reading from a phone clip usually is."""
    newest = Measurement.objects.filter(stage=Stage.DONE, result__isnull=False).order_by("-finished_at")
    halves: dict[str, list[float]] = defaultdict(list)
    for result in newest.values_list("result", flat=True)[:CLIPS]:
        for swing in (result or {}).get("swings", []):
            for reading in swing["readings"]:
                if reading["interval"]:
                    low, high = reading["interval"]
                    halves[reading["checkpoint"]].append((high - low) / 2)
    here = {checkpoint: median(some) for checkpoint, some in halves.items() if len(some) >= ENOUGH}
    return {**ON_OUR_FILMS, **here}
