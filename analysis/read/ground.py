"""Home plate as a ruler on the ground: where the line to the pitcher runs, seen from this camera.

The plate's shape is fixed by the Official Baseball Rules: front edge 17 in, sides 8.5 in, back edges 12 in. Its
five corners in the picture give the mapping of the ground plane, and with the camera's focal length the
direction of the line in space. Corners placed by hand give it to a few degrees. A plate found in the picture is
not used: a few pixels on its corners turn the line by tens of degrees, as rendered films with known cameras
show.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["PLATE_IN", "Ground", "plane_mapping", "read_plate"]

Array = NDArray[np.float64]

# Corners in inches: ahead, and to the right seen by the catcher; the tip first, then around by the right.
PLATE_IN: Final = np.array([[0.0, 0.0], [8.5, 8.5], [17.0, 8.5], [17.0, -8.5], [8.5, -8.5]])

# A phone's focal length in longer sides of the picture (from memory), with and without a little zoom.
FOCAL_SHARE: Final = 0.9
# A misplaced corner by more than this share of the plate's width in the picture: no plate.
LARGEST_MISS: Final = 0.12
LINE_SD: Final = 4.0  # degrees


@dataclass(frozen=True)
class Ground:
    """What the plate tells.

    ahead    direction of the line on the camera's axes, degrees: 0 = to the right of the picture, 90 = away
    sd       its deviation, degrees
    mapping  [3, 3] from inches on the ground to pixels of the reference frame
    """

    ahead: float
    sd: float
    mapping: Array


def plane_mapping(plane: Array, picture: Array) -> Array:
    """Homography [3, 3] that takes points [N, 2] of a plane to points [N, 2] of the picture best, N >= 4."""
    (here, to_here), (there, to_there) = _centred(plane), _centred(picture)
    rows = []
    for (x, y), (u, v) in zip(here, there, strict=True):
        rows.append([x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, -u])
        rows.append([0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, -v])
    solution = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    mapping = np.linalg.inv(to_there) @ solution @ to_here
    return np.asarray(mapping / mapping[2, 2])


def read_plate(corners: Array, size: tuple[float, float]) -> Ground | None:
    """What the plate's corners [5, 2] in the picture tell; None where there is no believable plate.

    The corners may start anywhere and go around either way. size is the picture's width and height, px.
    """
    fits = [fit for order in _orders(corners) if (fit := _fit(order, size)) is not None]
    if not fits:
        return None
    miss, ground = min(fits, key=lambda fit: fit[0])
    width = float(np.max(np.ptp(corners, axis=0)))
    return ground if miss <= LARGEST_MISS * width else None


def _orders(corners: Array) -> list[Array]:
    ways = (corners, corners[::-1])
    return [np.roll(way, shift, axis=0) for way in ways for shift in range(5)]


def _fit(corners: Array, size: tuple[float, float]) -> tuple[float, Ground] | None:
    """Largest miss of a corner, and the ground, for corners in the order of PLATE_IN; None for a ground seen
    from below.
    """
    mapping = plane_mapping(PLATE_IN, corners)
    mapped = np.column_stack([PLATE_IN, np.ones(5)]) @ mapping.T
    miss = float(np.max(np.linalg.norm(mapped[:, :2] / mapped[:, 2:] - corners, axis=1)))
    focal = FOCAL_SHARE * max(size)
    camera = np.array([[focal, 0.0, size[0] / 2.0], [0.0, focal, size[1] / 2.0], [0.0, 0.0, 1.0]])
    ahead, right, place = (np.linalg.inv(camera) @ mapping).T
    if place[2] < 0.0:
        ahead, right = -ahead, -right
    down = np.cross(ahead, right)
    # Pixels grow downward: seen from above, the ground's downward normal points down in the picture.
    if down[1] <= 0.0:
        return None
    return miss, Ground(float(np.degrees(np.arctan2(ahead[2], ahead[0]))), LINE_SD, mapping)


def _centred(points: Array) -> tuple[Array, Array]:
    """Points moved to their middle and to unit spread, and the matrix that does it: keeps the fit well posed."""
    middle = points.mean(axis=0)
    spread = max(float(np.std(points)), 1e-9)
    matrix = np.array([[1 / spread, 0, -middle[0] / spread], [0, 1 / spread, -middle[1] / spread], [0, 0, 1]])
    return (points - middle) / spread, matrix
