"""The hands are between the wrists, and with the lead wrist when the other is seen where it cannot be."""

from __future__ import annotations

import numpy as np

from analysis.read.grip import hands_of
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
