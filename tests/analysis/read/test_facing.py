"""Hand and view are proposed right from every side, and a coach's word is taken."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analysis.read.facing import axes_for, direction_for, propose, settle
from analysis.read.motion import clean_motion
from analysis.read.signals import signals_of
from analysis.read.swings import find_swings
from tests.analysis.read.motion import TOWARD_CAMERA, Film, camera_axes, film_swing

views = pytest.mark.parametrize("view", TOWARD_CAMERA)
hands = pytest.mark.parametrize("hand", ["right", "left"])


@views
@hands
@pytest.mark.parametrize("turn", [-20.0, 0.0, 20.0])
def test_hand_and_view_are_proposed(view: str, hand: str, turn: float) -> None:
    signals = signals_of(clean_motion(film_swing(Film(view=view, hand=hand, turn_deg=turn, noise_px=2.0))))
    facing = propose(signals, find_swings(signals))
    assert facing is not None
    assert (facing.view, facing.hand) == (view, hand)
    assert facing.hand_confidence > 0.9
    assert facing.view_confidence > 0.8


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


def test_without_a_swing_nothing_is_proposed() -> None:
    signals = signals_of(clean_motion(film_swing(Film())))
    assert propose(signals, []) is None


def test_a_coachs_view_is_taken_even_against_the_picture() -> None:
    signals = signals_of(clean_motion(film_swing(Film(view="chest_side"))))
    facing = settle(signals, find_swings(signals), "right", 1.0, "catcher_side")
    assert facing.view == "catcher_side"
    assert facing.view_confidence == 1.0
    assert facing.ahead == direction_for("catcher_side", "right")


def test_an_unknown_view_stays_unknown() -> None:
    signals = signals_of(clean_motion(film_swing(Film())))
    assert settle(signals, find_swings(signals), "right", 1.0, "unknown").view == "unknown"
