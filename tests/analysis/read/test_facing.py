"""Hand and view are proposed right from every side, and a coach's word is taken."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analysis.read.corrections import parse_corrections
from analysis.read.facing import Facing, direction_for, estimate_facing
from analysis.read.geometry import reading_axes
from analysis.read.swing_search import search_swings
from tests.analysis.read import limits
from tests.analysis.read.motion import TOWARD_CAMERA, Film, Swing, camera_axes, film_swing

views = pytest.mark.parametrize("view", TOWARD_CAMERA)
hands = pytest.mark.parametrize("hand", ["right", "left"])


def axes_for(ahead: float, hand: str) -> np.ndarray:
    """Matrix [3, 3] taking level ray axes (x right, y up, z away) to reading axes (ahead, up, toward the plate)."""
    return reading_axes(np.array([ahead]), np.array([[0.0, 1.0, 0.0]]), hand)[0]


def facing_of(film: Film, hand: str | None = None, view: str | None = None) -> Facing:
    tracks = film_swing(film)
    search = search_swings(tracks, parse_corrections({"hand": hand} if hand else None, tracks.frames))
    assert search.hand is not None
    return estimate_facing(search.bodies, list(search.swings.values()), search.hand, search.sure, view)


@views
@hands
@pytest.mark.parametrize("turn", [-20.0, 0.0, 20.0])
def test_hand_and_view_are_proposed(view: str, hand: str, turn: float) -> None:
    facing = facing_of(Film(view=view, hand=hand, turn_deg=turn, noise_px=2.0))
    assert (facing.view, facing.hand) == (view, hand)
    assert facing.hand_confidence > limits.SKELETON_HAND_SURE
    assert facing.view_confidence > limits.SKELETON_VIEW_SURE


@views
@hands
def test_the_direction_of_the_line_is_where_the_camera_sees_it(view: str, hand: str) -> None:
    # The field's x axis is the line; its coordinates on the camera's axes are (right, down, away).
    right, _, away = camera_axes(Film(view=view, hand=hand)) @ [1.0, 0.0, 0.0]
    expected = np.degrees(np.arctan2(away, right))
    assert (direction_for(view, hand) - expected + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-9)


@views
@hands
def test_reading_axes_are_the_fields(view: str, hand: str) -> None:
    camera = camera_axes(Film(view=view, hand=hand)) * [[1.0], [-1.0], [1.0]]  # right, up, away
    to_field = axes_for(direction_for(view, hand), hand) @ camera
    plate = 1.0 if hand == "right" else -1.0
    np.testing.assert_allclose(to_field, np.diag([1.0, 1.0, plate]), atol=1e-9)


def test_turning_the_camera_is_a_turn_about_the_vertical() -> None:
    turned = axes_for(direction_for("chest_side", "right") + 25.0, "right") @ axes_for(0.0, "right").T
    angle = Rotation.from_matrix(turned).magnitude()
    assert np.degrees(angle) == pytest.approx(25.0)


@hands
def test_a_tilted_camera_is_set_upright(hand: str) -> None:
    """A vector along the line, one up and one to the plate, seen by a camera that looks down and is rolled."""
    tilt = Rotation.from_euler("xz", [11.0, 4.0], degrees=True)
    level = axes_for(25.0, hand)
    # Rows of `level` are the reading axes on level ray axes; the tilted camera sees them turned.
    seen = tilt.apply(level)
    right = np.array([1.0, 0.0, 0.0])
    up = seen[1]
    flat = right - (right @ up) * up
    ahead = np.degrees(np.arctan2(seen[0] @ np.cross(up, -flat), seen[0] @ flat))
    axes = reading_axes(np.array([ahead]), up[None], hand)[0]
    np.testing.assert_allclose(axes @ seen.T, np.eye(3), atol=1e-9)


def test_without_a_hitter_nothing_is_proposed() -> None:
    tracks = film_swing(Film(dropouts=tuple(range(180))))
    search = search_swings(tracks, parse_corrections(None, tracks.frames))
    assert (search.hand, search.sure, search.swings) == (None, 0.0, {})


@hands
def test_an_added_swing_tells_the_hand_as_well(hand: str) -> None:
    """A checked swing is none, so a coach may add it; then its hand is wanted."""
    tracks = film_swing(Film(hand=hand, swings=(Swing(checked=True),), noise_px=1.5))
    search = search_swings(
        tracks, parse_corrections({"add_swings": [{"start_frame": 40, "end_frame": 120}]}, tracks.frames)
    )
    assert (search.hand, len(search.swings)) == (hand, 1)


def test_a_coachs_view_is_taken_even_against_the_picture() -> None:
    facing = facing_of(Film(view="chest_side"), "right", "catcher_side")
    assert facing.view == "catcher_side"
    assert facing.view_confidence == 1.0
    assert facing.ahead == direction_for("catcher_side", "right")


def test_an_unknown_view_stays_unknown() -> None:
    assert facing_of(Film(), "right", "unknown").view == "unknown"


@views
@pytest.mark.parametrize("turn", [-42.0, -8.0, 8.0, 42.0])
def test_the_line_runs_where_the_feet_show_it_however_the_camera_stands(view: str, turn: float) -> None:
    """Drawn to the nearest of the four sides, everything seen from above would be off with it."""
    film = Film(view=view, turn_deg=turn, noise_px=2.0)
    right, _, away = camera_axes(film) @ [1.0, 0.0, 0.0]
    off = facing_of(film).ahead - np.degrees(np.arctan2(away, right))
    assert abs((off + 180.0) % 360.0 - 180.0) < 15.0
