"""What a moment of the motion wishes for, and the pose that comes of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

__all__ = ["FootPose", "Posed", "Stance"]


@dataclass(frozen=True)
class FootPose:
    """Where a foot is: ``ball`` [3] is the ball's place on the sole, ``yaw`` degrees from +z toward +x, ``heel`` degrees of heel raised."""

    ball: np.ndarray
    yaw: float
    heel: float


@dataclass(frozen=True)
class Stance:
    """Everything that a moment of the motion wishes for; angles in degrees, lengths in metres."""

    pelvis: np.ndarray
    pelvis_yaw: float
    pelvis_lean: float
    pelvis_side: float
    chest_yaw: float
    head: np.ndarray  # wished x and z of the middle of the ears; y follows from the trunk
    face_yaw: float  # from +z toward +x
    face_down: float
    front_foot: FootPose
    rear_foot: FootPose
    front_knee_out: float  # turns the knee's direction away from the foot's, toward +x
    rear_knee_out: float
    grip: np.ndarray  # middle between the two hands' places on the bat
    bat: np.ndarray  # unit vector knob to barrel
    front_elbow: np.ndarray  # where the elbow is pushed to
    rear_elbow: np.ndarray
    let_go: float = 0.0  # how far the rear hand has gone from its place on the bat, metres


@dataclass(frozen=True)
class Posed:
    """World rotation [B,3,3] and place [B,3] of each bone, named joints, the bat's knob and barrel end, and the largest miss of a hand."""

    rotations: np.ndarray
    places: np.ndarray
    joints: dict[str, np.ndarray]
    knob: np.ndarray
    barrel: np.ndarray
    miss: float
