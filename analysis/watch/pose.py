"""Read one body's 33 keypoints in a region of the picture.

The network looks where it is told, so a small or blurred hitter is not lost to a detector's doubt, and each picture is
read by itself: nothing is remembered, nothing lags. Output layout and heat-map refinement follow MediaPipe's published
pose graph; tests compare the outcome with MediaPipe itself.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.watch.models import Model
from analysis.watch.network import LANDMARKS, Network
from analysis.watch.pictures import Picture
from analysis.watch.region import Floats, Region, body_region, cut

COUNT = 33
MIDDLE, CIRCLE = 33, 34  # two more points of the network: mid-hips and the top of the circle around the body
LEGS = list(range(23, 33))
TORSO = [11, 12, 23, 24]
# Landmarks, presence, heat map and world, by their places among the network's outputs. The third, a mask of the body, is left out:
# nothing here uses it, and it takes a tenth of the heavy network's time and half of the lite one's.
OUTPUTS = (0, 1, 3, 4)
_REFINE_REACH = 3  # cells of the heat map to each side
_REFINE_MIN = 0.5


@dataclass(frozen=True)
class Pose:
    """One body: keypoints [33, 2] in full upright pixels, visibility [33], world metres [33, 3].

    presence is the network's belief 0..1 that there is a body; region is where to look for it next.
    """

    keypoints_px: Floats
    visibility: Floats
    world_m: Floats
    presence: float
    region: Region

    @property
    def box(self) -> Floats:
        """The box [4] x0, y0, x1, y1 around all keypoints, px."""
        return np.concatenate([self.keypoints_px.min(axis=0), self.keypoints_px.max(axis=0)])


class Landmarker:
    """The landmark network of a bundle."""

    def __init__(self, model: Model) -> None:
        """Load the network."""
        self._network = Network(model, LANDMARKS, OUTPUTS)

    def read(self, picture: Picture, scale: float, region: Region) -> Pose:
        """Read the body in `region` of `picture` [H, W, 3], RGB (the frame shrunk by `scale`)."""
        side = self._network.side
        landmarks, presence, heat, world = self._network.run(cut(picture, scale, region, side))
        points = landmarks.reshape(-1, 5).astype(np.float64)
        places = refined(points[:, :2] / side, heat)
        positions = region.to_picture(places)
        metres = world.reshape(-1, 3)[:COUNT].astype(np.float64)
        metres[:, :2] = region.turned(metres[:, :2])
        return Pose(
            positions[:COUNT],
            1.0 / (1.0 + np.exp(-np.minimum(points[:COUNT, 3], points[:COUNT, 4]))),
            metres,
            float(presence[0]),
            body_region(positions[MIDDLE], positions[CIRCLE]),
        )


def refined(places: Floats, heat: NDArray[np.float32]) -> Floats:
    """Move each place (0..1) to the weighted middle of its heat map nearby, where the heat is sure enough.

    places  [N, 2] x, y
    heat    [rows, columns, N] logits
    """
    rows, columns, _ = heat.shape
    moved = places.copy()
    for index, (x, y) in enumerate(places):
        column, row = int(x * columns), int(y * rows)
        if not (0 <= column < columns and 0 <= row < rows):
            continue
        left, top = max(0, column - _REFINE_REACH), max(0, row - _REFINE_REACH)
        part = heat[top : row + _REFINE_REACH + 1, left : column + _REFINE_REACH + 1, index].astype(np.float64)
        weight = 1.0 / (1.0 + np.exp(-part))
        if weight.max() < _REFINE_MIN:
            continue
        over_x, over_y = weight.sum(axis=0), weight.sum(axis=1)
        moved[index, 0] = (over_x @ np.arange(left, left + len(over_x))) / weight.sum() / columns
        moved[index, 1] = (over_y @ np.arange(top, top + len(over_y))) / weight.sum() / rows
    return moved
