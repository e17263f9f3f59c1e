"""What a body and a swing can do at all: a band beyond that is a slip of the keyboard, and is asked about.

Joints from memory of the usual ranges in clinical tables (a knee bends to about 150° and overstretches by about 10°); shares and
times from geometry and with generous room around what is seen in any swing. None of it says what is good.
"""

from __future__ import annotations

from portal.measuring.door import Checkpoint

KNEE = (-10.0, 150.0)
LIMITS: dict[str, tuple[float, float]] = {
    "setup_base_width": (0.2, 6.0),
    "setup_front_knee": KNEE,
    "setup_rear_knee": KNEE,
    "setup_trunk_lean": (-20.0, 90.0),
    "setup_face": (-180.0, 180.0),
    "load_hands_back": (-20.0, 60.0),
    "load_head_travel": (0.0, 80.0),
    "down_front_knee": KNEE,
    "down_rear_knee": KNEE,
    "down_knee_balance": (-150.0, 150.0),
    "down_front_knee_inside": (-100.0, 150.0),
    "down_rear_knee_inside": (-100.0, 150.0),
    "down_hips_square": (-120.0, 120.0),
    "down_shoulders_square": (-120.0, 120.0),
    "down_head_centre": (-60.0, 60.0),
    "down_foot_opening": (-60.0, 135.0),
    "down_stride_length": (0.0, 130.0),
    "down_bat_angle": (-90.0, 90.0),
    "time_to_start": (-1000.0, 1500.0),
    "start_to_contact": (30.0, 1500.0),
    "down_to_contact": (0.0, 2500.0),
    "swing_elbow_line": (0.0, 100.0),
    "contact_front_knee": KNEE,
    "contact_head_travel": (0.0, 80.0),
    "extension_reach": (0.0, 130.0),
    "finish_hands_height": (-60.0, 60.0),
    "finish_balance": (-100.0, 200.0),
}


def limits_of(entry: Checkpoint) -> tuple[float, float]:
    """What is possible; for a checkpoint that is new in the book, its reading strip and as much again on either side."""
    low, high = entry.scale
    return LIMITS.get(entry.id, (low - (high - low), high + (high - low)))
