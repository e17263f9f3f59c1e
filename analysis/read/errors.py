"""How wrong a pose may be beyond its own jitter: what the draws add to every keypoint, the camera and the body's size.

All are standard deviations. Lengths are shares of standing height. Found by comparing readings with the exact truth of
rendered films (tests/analysis/read/test_film_truth.py), rounded to what those films can tell.
"""

from __future__ import annotations

from typing import Final

__all__ = [
    "BAT_END",
    "BAT_LENGTH_SHARE",
    "CAMERA_PITCH_DEG",
    "CAMERA_ROLL_DEG",
    "DEPTH_HELD",
    "DEPTH_LOOSE",
    "DEPTH_TIMES",
    "ELBOW_OFF",
    "FACE_AWAY_DEG",
    "FLAT_HELD",
    "FLAT_LOOSE",
    "HEIGHT_SHARE",
    "OPENING_SHORT_DEG",
    "SHOULDERS_SQUARED_DEG",
    "SHOULDER_ABOVE",
]

# In the picture's plane and in depth; "held" stays the same through one swing (a keypoint that sits beside its joint),
# "loose" is drawn anew at every instant (a pose that is misjudged).
FLAT_HELD: Final = 0.014
FLAT_LOOSE: Final = 0.006
DEPTH_HELD: Final = 0.014
DEPTH_LOOSE: Final = 0.010

# The depth of some parts is misjudged more than the rest: so many times.
DEPTH_TIMES: Final[dict[str, float]] = {
    "elbow": 3.0,
    "wrist": 3.0,
    "index": 3.0,
    "shoulder": 2.8,
    "hip": 1.7,
    "toe": 2.0,
}

# Shoulder keypoints sit this much above the joint, standing heights.
SHOULDER_ABOVE: Final = 0.025

CAMERA_ROLL_DEG: Final = 1.5
CAMERA_PITCH_DEG: Final = 5.0
HEIGHT_SHARE: Final = 0.04

# What the pose model misjudges the same way in every film taken from a side: it squares the shoulders when the foot comes
# down, leaves the front foot less open than it is, turns the face away from the pitcher, and puts the rear elbow off its line
# (a distance, which every error makes longer).
SHOULDERS_SQUARED_DEG: Final = 15.0
OPENING_SHORT_DEG: Final = 10.0
FACE_AWAY_DEG: Final = 20.0
ELBOW_OFF: Final = 0.13  # of the arm's length

BAT_END: Final = 0.03  # knob to barrel, upward
BAT_LENGTH_SHARE: Final = 0.06
