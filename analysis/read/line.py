"""Where the line to the pitcher runs in a clip: by the hitter's feet, and by home plate where it is seen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.read import constants as C
from analysis.read.bodies import Bodies
from analysis.read.corrections import Corrections
from analysis.read.facing import Facing, corrected_by_plate, estimate_facing
from analysis.read.ground import Ground, read_plate
from analysis.read.swing_search import SwingSearch
from analysis.tracks import KEYPOINTS, Tracks


def find_line(tracks: Tracks, search: SwingSearch, fixed: Corrections) -> tuple[Facing | None, Ground | None]:
    """How the hitter faces the line, None without a swing to tell by; and what the plate tells, None where the line is not read from it."""
    bodies, swings, facing = search.bodies, list(search.swings.values()), None
    if search.hand and swings:
        facing = estimate_facing(bodies, swings, search.hand, search.sure, fixed.view)
    ground = _ground(tracks, bodies, facing, fixed)
    if facing and ground:
        facing = corrected_by_plate(facing, ground.ahead, ground.sd)
    return facing, ground if facing is None or facing.by_plate else None


def _ground(tracks: Tracks, bodies: Bodies, facing: Facing | None, fixed: Corrections) -> Ground | None:
    """Home plate where a coach placed its corners, or else where watching was sure of it; its line on ray axes."""
    size = (tracks.clip["width"], tracks.clip["height"])
    sure = tracks.plate_confidence >= C.PLATE_CONFIDENCE and np.isfinite(tracks.plate_px).all()
    if not fixed.plate and not sure:
        return None
    corners = np.array(fixed.plate) if fixed.plate else tracks.plate_px.astype(np.float64)
    yaw = _yaw(bodies, size)
    ground = read_plate(corners, size, facing.ahead - yaw if facing else None)
    if ground is None:
        return None
    sd = ground.sd if fixed.plate else float(np.hypot(ground.sd, C.SEEN_PLATE_SD))
    return replace(ground, ahead=ground.ahead + yaw, sd=sd)


def _yaw(bodies: Bodies, size: tuple[float, float]) -> float:
    """How far the hitter stands to the right of where the camera points, degrees; size is width and height, px."""
    hips = bodies.motion.steady[bodies.lifted][:, [KEYPOINTS["left_hip"], KEYPOINTS["right_hip"]], 0]
    if not np.isfinite(hips).any():
        return 0.0
    return float(np.degrees(np.arctan2(np.nanmedian(hips) - size[0] / 2.0, C.FOCAL_SHARE * max(size))))
