"""How finely phone clips tell a checkpoint: half of the usual 90 % interval, from what was read here lately."""

from __future__ import annotations

from collections import defaultdict
from statistics import median

from portal.measuring.models import Measurement, Stage

CLIPS = 20  # their results are read whole
ENOUGH = 5  # readings of a checkpoint, before its own site says more than our films

# Medians over the committed tracks (tests/analysis/read/data), by `python -m tests.portal.measuring.usual_errors`; the difference of
# the knees is told on none of them: as on the tuning clips.
ON_OUR_FILMS = {
    "setup_base_width": 0.15, "setup_front_knee": 12, "setup_rear_knee": 18, "setup_trunk_lean": 9.5, "setup_face": 19,
    "load_hands_back": 2.5, "load_head_travel": 1.2,
    "down_front_knee": 16, "down_rear_knee": 13, "down_knee_balance": 19, "down_front_knee_inside": 6.1, "down_rear_knee_inside": 5.3,
    "down_hips_square": 13, "down_shoulders_square": 12, "down_head_centre": 1.6,
    "down_foot_opening": 17, "down_stride_length": 2.8, "down_bat_angle": 11,
    "time_to_start": 61, "start_to_contact": 44, "down_to_contact": 32, "swing_elbow_line": 13,
    "contact_front_knee": 13, "contact_head_travel": 1.4, "extension_reach": 3.9,
    "finish_hands_height": 3.9, "finish_balance": 4.5,
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
