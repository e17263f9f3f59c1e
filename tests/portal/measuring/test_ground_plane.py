"""Angles on the ground from home plate: against cameras that are known, and with corners a hand has misplaced a little."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analysis.read.camera import FOCAL_SHARE
from portal.measuring.ground_plane import ground_plane
from tests.analysis.read.test_ground import INCH, SIZE, plate_seen

VIEWS = {0.0: "chest_side", 180.0: "back_side", 90.0: "catcher_side", -90.0: "pitcher_side"}


def film(ahead: float, **more: Any) -> dict[str, Any]:
    return {"line_source": "coach", "hand": "right", "view": VIEWS[ahead], **more}


def tracks() -> Any:
    return SimpleNamespace(clip={"width": SIZE[0], "height": SIZE[1]}, plate_px=np.full((5, 2), np.nan))


def spot(ahead_deg: float, place: list[float], down_deg: float = 14.0, distance: float = 5.0) -> np.ndarray:
    """Where the camera of `plate_seen` shows a place of the ground: inches ahead of the plate's tip, and to the right."""
    angle = np.radians(ahead_deg)
    ahead = np.array([np.cos(angle), 0.0, np.sin(angle)])
    right = np.cross([0.0, 1.0, 0.0], ahead)
    point = (place[0] * ahead + place[1] * right) * INCH
    point = Rotation.from_euler("x", down_deg, degrees=True).apply(point + np.array([0.0, 1.3, distance]))
    return FOCAL_SHARE * SIZE[0] * point[:2] / point[2] + np.array(SIZE) / 2.0


def on_ground(plane: list[float], pixel: np.ndarray) -> np.ndarray:
    x, y, depth = np.array(plane).reshape(3, 3) @ [*pixel, 1.0]
    return np.array([x, y]) / depth


def direction(plane: list[float], ahead: float, degrees: float) -> float:
    """What the plane tells of a shoe's length on the ground beside the plate, whose true direction is `degrees`."""
    heel = np.array([6.0, -28.0])
    toe = heel + 11.0 * np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    seen = on_ground(plane, spot(ahead, list(toe))) - on_ground(plane, spot(ahead, list(heel)))
    return float(np.degrees(np.arctan2(seen[1], seen[0])))


@pytest.mark.parametrize("ahead", list(VIEWS))
@pytest.mark.parametrize("degrees", [0.0, 45.0, 90.0])
def test_directions_on_the_ground_are_the_true_ones_from_every_side(ahead, degrees):
    plane = ground_plane(tracks(), {"plate": plate_seen(ahead).tolist()}, film(ahead))
    assert plane is not None
    assert direction(plane, ahead, degrees) == pytest.approx(degrees, abs=1.0)


def test_a_hand_that_misses_corners_by_a_pixel_turns_directions_little():
    rng = np.random.default_rng(7)
    told = []
    for _ in range(12):
        corners = plate_seen(0.0) + rng.normal(0.0, 1.0, (5, 2))
        plane = ground_plane(tracks(), {"plate": corners.tolist()}, film(0.0))
        assert plane is not None
        told.append(direction(plane, 0.0, 45.0))
    assert np.std(told) < 6.0
    assert np.mean(told) == pytest.approx(45.0, abs=5.0)


def test_corners_may_begin_anywhere_and_go_around_either_way():
    plates = [np.roll(plate_seen(0.0), 2, axis=0), plate_seen(0.0)[::-1]]
    planes = [ground_plane(tracks(), {"plate": plate.tolist()}, film(0.0)) for plate in plates]
    assert [direction(plane or [], 0.0, 45.0) for plane in planes] == pytest.approx([45.0, 45.0], abs=1.0)


def test_without_a_plate_there_is_no_ground():
    assert ground_plane(tracks(), {}, film(0.0, line_source="measured")) is None
    odd = [[10.0, 10.0], [400.0, 12.0], [15.0, 300.0], [500.0, 600.0], [20.0, 700.0]]
    assert ground_plane(tracks(), {"plate": odd}, film(0.0)) is None
