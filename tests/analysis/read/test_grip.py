"""The hands are between the wrists, and with the lead wrist when the other is seen where it cannot be."""

from __future__ import annotations

import numpy as np

from analysis.read.grip import hands_of, lead_share
from analysis.tracks import KEYPOINTS as K


def wrists(left: tuple[float, float, float], right: tuple[float, float, float]) -> np.ndarray:
    points = np.full((1, 33, 3), np.nan)
    points[0, K["left_wrist"]], points[0, K["right_wrist"]] = left, right
    return points


def test_together_they_are_in_the_middle() -> None:
    hands = hands_of(wrists((0.0, 0.5, 0.0), (0.1, 0.5, 0.0)), "left")
    np.testing.assert_allclose(hands, [[0.05, 0.5, 0.0]])


def test_apart_they_are_with_the_lead_hand() -> None:
    points = wrists((0.4, 0.2, 0.1), (0.0, 0.5, 0.0))
    np.testing.assert_allclose(hands_of(points, "left"), [[0.4, 0.2, 0.1]])
    np.testing.assert_allclose(hands_of(points, "right"), [[0.0, 0.5, 0.0]])


def test_while_the_hand_is_unknown_the_middle_is_taken() -> None:
    np.testing.assert_allclose(hands_of(wrists((0.4, 0.2, 0.0), (0.0, 0.4, 0.0)), None), [[0.2, 0.3, 0.0]])


def test_parting_wrists_never_make_the_hands_jump() -> None:
    apart = np.linspace(0.05, 0.3, 200)
    path = np.array([hands_of(wrists((a, 0.0, 0.0), (0.0, 0.0, 0.0)), "left")[0, 0] for a in apart])
    assert np.max(np.diff(path)) < 4 * (apart[1] - apart[0])


STILL = np.zeros(9)


def seen(left: float, right: float, frames: int = 9) -> np.ndarray:
    visibility = np.full((frames, 33), 0.5)
    visibility[:, K["left_wrist"]], visibility[:, K["right_wrist"]] = left, right
    return visibility


def test_a_lead_hand_hidden_by_the_trunk_is_not_followed() -> None:
    share = lead_share(seen(left=0.02, right=0.9), STILL, "left")
    hands = hands_of(np.repeat(wrists((0.5, 0.1, 0.0), (0.0, 0.5, 0.0)), 9, axis=0), "left", share)
    np.testing.assert_allclose(hands, np.tile([0.0, 0.5, 0.0], (9, 1)), atol=0.01)


def test_a_hidden_lead_hand_does_not_move_the_hands_when_it_wanders() -> None:
    share = lead_share(seen(left=0.02, right=0.9), STILL, "left")
    wandering = np.concatenate([wrists((x, 0.5, 0.0), (0.0, 0.5, 0.0)) for x in np.linspace(0.0, 0.2, 9)])
    assert np.ptp(hands_of(wandering, "left", share)[:, 0]) < 0.01


def test_a_lead_hand_seen_as_well_as_the_other_is_followed_alone() -> None:
    assert lead_share(seen(left=0.9, right=0.95), STILL, "left").min() > 0.95
    assert lead_share(seen(left=0.95, right=0.9), STILL, "right").min() > 0.95


def test_one_frame_of_doubt_changes_nothing() -> None:
    visibility = seen(left=0.9, right=0.9)
    visibility[4, K["left_wrist"]] = 0.0
    assert lead_share(visibility, STILL, "left").min() > 0.95


def test_a_model_that_gives_no_visibility_is_read_as_before() -> None:
    assert lead_share(np.full((9, 33), np.nan), STILL, "left").min() > 0.95


def test_while_the_body_turns_fast_the_lead_hand_is_followed_whatever_was_thought_seen() -> None:
    frames = 60
    turn_rate = np.zeros(frames)
    turn_rate[25:35] = 600.0
    share = lead_share(seen(left=0.02, right=0.9, frames=frames), turn_rate, "left")
    assert share[28:32].min() > 0.99
    assert share[:20].max() < 0.05
    assert share[40:].max() < 0.05
