"""How far off readings may be in these tests, in one place. They hold for the parameters in `analysis/read/lift.npz`: a change that
makes reading worse fails, and better parameters let the limits be drawn tighter.
"""

from __future__ import annotations

# The skeleton of motion.py: exact joints of proportions that the lift never saw.
SKELETON_KNEE_DEG = 25.0
SKELETON_SHOULDERS_DEG = 22.0
SKELETON_ALONG = {"down_stride_length": 4.5, "down_front_knee_inside": 6.0, "down_head_centre": 4.5}
# It moves as nobody does: every part by one smooth curve.
SKELETON_FOOT_DOWN_MS = 45.0
SKELETON_HAND_SURE = 0.55
SKELETON_VIEW_SURE = 0.7
# Rendered films, seen with the real pose model.
FILM_KNEE_DEG = 27.0
FILM_KNEE_MEAN_DEG = 9.0
# Frames; seen along the line, the foot comes down toward the camera.
FILM_FOOT_DOWN = {"side": 1, "along": 2}
FILM_ALONG = {"down_stride_length": 3.0, "down_head_centre": 3.0, "load_head_travel": 2.0}
FILM_HELD = 0.75
FILM_INSTANTS_HELD = 0.8
