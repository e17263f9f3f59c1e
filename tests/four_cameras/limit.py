"""How near one view could come to four: with better keypoints, and by how much the four together are unsure.

Axes as in `angles`. F frames.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from analysis.read.motion import clean_motion
from analysis.tracks import KEYPOINTS, Tracks, load

from .angles import BENDS, DATA, LINES, compared, differences, reference
from .scene import View, project, triangulate

__all__ = ["LEFT", "Limit", "limits"]

# Of keypoints and world landmarks that are nearly true, this much of today's error is left.
LEFT = 0.25


@dataclass(frozen=True)
class Limit:
    """Mean errors in degrees, over all that is compared, of one camera.

    placed   of the lift, its keypoints lying exactly where the four cameras have them
    nearly   of the lift, keypoints and world landmarks a quarter as wrong as they are
    others   of the other three cameras without this one, against all four: how unsure the reference is at least
    """

    camera: str
    placed: float
    nearly: float
    others: float


def limits() -> list[Limit]:
    """A limit for each camera."""
    views, points, _, _ = reference()
    tracks = [load(DATA / f"{view.name}.tracks.npz") for view in views]
    return [_limit(index, views, tracks, points) for index in range(len(views))]


def _limit(index: int, views: list[View], tracks: list[Tracks], points: np.ndarray) -> Limit:
    view, seen, used = views[index], tracks[index], sorted(KEYPOINTS.values())
    true = project(view, points[:, used])
    in_camera = (points - view.place) @ view.rotation.T
    middle = in_camera[:, [KEYPOINTS["left_hip"], KEYPOINTS["right_hip"]]].mean(axis=1, keepdims=True)

    def lifted(left: float, left_of_world: float) -> float:
        pixels, world = seen.keypoints_px.copy(), seen.world_m.copy()
        pixels[:, used] = true + left * (pixels[:, used] - true)
        world[:, used] = (in_camera - middle)[:, used] + left_of_world * (world - (in_camera - middle))[:, used]
        motion = clean_motion(replace(seen, keypoints_px=pixels, world_m=world))
        return _mean(compared(view, motion, points).lift)

    rest = [k for k in range(len(views)) if k != index]
    flat = np.stack([tracks[k].keypoints_px[:, used].reshape(-1, 2) for k in rest]).astype(np.float64)
    weight = np.stack([tracks[k].visibility[:, used].reshape(-1) for k in rest]).astype(np.float64)
    others = np.full_like(points, np.nan)
    others[:, used] = triangulate([views[k] for k in rest], flat, weight).reshape(len(points), len(used), 3)
    return Limit(view.name, lifted(0.0, 1.0), lifted(LEFT, LEFT), _mean(differences(others, points)))


def _mean(errors: dict[str, np.ndarray]) -> float:
    return float(np.mean([np.nanmean(errors[name]) for name in (*BENDS, *LINES)]))
