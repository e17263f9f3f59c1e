"""How far off readings may be in these tests, in one place. They hold for the parameters in `analysis/read/lift.npz`: a change that
makes reading worse fails, and better parameters let the limits be drawn tighter.
"""

from __future__ import annotations

# The skeleton of motion.py: exact joints of proportions that the lift never saw.
SKELETON_KNEE_DEG = 25.0
SKELETON_SHOULDERS_DEG = 26.0
SKELETON_ALONG = {"down_stride_length": 4.5, "down_front_knee_inside": 6.0, "down_head_centre": 4.5}
# It moves as nobody does: every part by one smooth curve.
SKELETON_FOOT_DOWN_MS = 50.0
SKELETON_HAND_SURE = 0.55
SKELETON_VIEW_SURE = 0.7
# Rendered films, seen with the real pose model.
FILM_KNEE_DEG = 27.0
FILM_KNEE_MEAN_DEG = 9.0
# Frames, of any one film, and the share of all swings in which it is within one.
FILM_FOOT_DOWN = 2
FILM_FOOT_DOWN_WITHIN_1 = 0.9
FILM_ALONG = {"down_stride_length": 3.0, "down_head_centre": 3.0, "load_head_travel": 2.0}
FILM_HELD = 0.75
FILM_INSTANTS_HELD = 0.8
