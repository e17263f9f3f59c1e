"""Bends of knees seen from a side: what lowers the hips or spreads the feet bends the knees more, and a coach's own points rule."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.read import read
from analysis.read.knees import LEG_LENGTH, LegLengths, leg_lengths, side_bend
from analysis.read.legs import THIGH_LENGTH
from analysis.tracks import KEYPOINTS as K
from tests.analysis.read.motion import Film, film_swing

LENGTHS = LegLengths(LEG_LENGTH, THIGH_LENGTH[0])
NO_ERROR = (np.zeros(1), np.zeros(1))


def stance(hips_up: float = 0.42, feet_apart: float = 0.3, knees_out: float = 0.0) -> np.ndarray:
    """[1, 33, 3] legs on the camera's axes, standing heights; ankles on the ground, knees halfway down."""
    points = np.full((1, 33, 3), np.nan)
    for side, sign in (("left", -1.0), ("right", 1.0)):
        hip, ankle = np.array([sign * 0.06, hips_up, 0.0]), np.array([sign * feet_apart / 2.0, 0.0, 0.0])
        points[0, K[f"{side}_hip"]], points[0, K[f"{side}_ankle"]] = hip, ankle
        points[0, K[f"{side}_knee"]] = (hip + ankle) / 2.0 + [sign * knees_out, 0.0, 0.0]
    return points


def bent(points: np.ndarray, instant: str, from_back: bool = False) -> float:
    bends = side_bend(points, "left", instant, LENGTHS, from_back, NO_ERROR)
    assert bends is not None
    return float(bends[0])


@pytest.mark.parametrize("instant", ["set_up", "foot_down"])
def test_lower_hips_mean_more_bend(instant: str) -> None:
    bends = [bent(stance(hips_up=up), instant) for up in (0.45, 0.43, 0.41, 0.39)]
    assert bends == sorted(bends)
    assert bends[-1] - bends[0] > 10.0


def test_a_stance_like_that_of_most_hitters_gets_a_usual_bend() -> None:
    assert 20.0 < bent(stance(hips_up=0.42, feet_apart=0.25, knees_out=0.01), "set_up") < 45.0
    assert 30.0 < bent(stance(hips_up=0.39, feet_apart=0.42), "foot_down") < 60.0


def test_a_longer_thigh_in_the_picture_means_a_straighter_front_leg_at_contact() -> None:
    assert bent(stance(hips_up=0.44), "contact") < bent(stance(hips_up=0.40), "contact")


def test_both_legs_share_the_hips_height_so_a_tilted_camera_does_not_bend_one() -> None:
    level, tilted = stance(), stance()
    tilted[0, [K["left_hip"], K["left_ankle"]], 1] += [0.01, -0.01]
    tilted[0, [K["right_hip"], K["right_ankle"]], 1] -= [0.01, -0.01]
    assert bent(tilted, "foot_down") == pytest.approx(bent(level, "foot_down"))


def test_a_bend_is_never_negative() -> None:
    assert bent(stance(hips_up=0.6, feet_apart=0.0), "set_up") >= 0.0


def test_no_weights_no_bend() -> None:
    assert side_bend(stance(), "left", "finish", LENGTHS, False, NO_ERROR) is None


def test_errors_spread_the_draws_and_are_partly_shared() -> None:
    rng = np.random.default_rng(4)
    common, own, other = rng.standard_normal((3, 4000))
    points = np.repeat(stance(), 4000, axis=0)
    left = side_bend(points, "left", "foot_down", LENGTHS, False, (common, own))
    right = side_bend(points, "right", "foot_down", LENGTHS, False, (common, other))
    assert left is not None
    assert right is not None
    assert 3.0 < np.std(left) < 7.0
    assert 0.35 < np.corrcoef(left, right)[0, 1] < 0.65


def test_a_leg_is_as_long_as_the_clip_shows_it_within_reason() -> None:
    frames = np.concatenate([stance(hips_up=up, feet_apart=0.12) for up in np.linspace(0.40, 0.47, 30)])
    assert leg_lengths(frames).leg == pytest.approx(0.47, abs=0.01)
    assert leg_lengths(0.5 * frames).leg == pytest.approx(0.93 * LEG_LENGTH)
    assert leg_lengths(np.full((5, 33, 3), np.nan)) == LENGTHS


def test_a_knee_that_a_coach_puts_in_place_is_read_as_placed() -> None:
    tracks = film_swing(Film(noise_px=1.0, depth_noise_m=0.01))
    [before] = read(tracks).swings
    frame = before.instants["foot_down"].frame
    assert frame is not None
    x, y = tracks.keypoints_px[frame, K["left_knee"]]
    bends = []
    for shift in (0.0, 25.0, 50.0):
        move = {"frame": frame, "keypoint": K["left_knee"], "x": float(x + shift), "y": float(y)}
        [swing] = read(tracks, {"keypoints": [move]}).swings
        bends.append(swing.reading("down_front_knee").value)
    assert abs(bends[2] - bends[0]) > 5.0
