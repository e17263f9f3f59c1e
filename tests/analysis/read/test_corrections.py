"""Corrections are checked once, and every fault is named."""

from __future__ import annotations

from typing import Any

import pytest

from analysis.read.corrections import CorrectionError, Corrections, parse_corrections


def test_nothing_corrected_is_fine() -> None:
    assert parse_corrections(None, 100) == Corrections()
    assert parse_corrections({}, 100) == Corrections()
    assert parse_corrections({"view": None, "hand": None, "plate": None}, 100) == Corrections()


def test_all_of_it_is_taken_over() -> None:
    given = {
        "view": "back_side",
        "hand": "left",
        "speed_factor": 8,
        "instants": {"0": {"contact": 62, "load": None}},
        "keypoints": [{"frame": 3, "keypoint": 27, "x": 1.5, "y": 2.0}],
        "bat": [{"frame": 3, "knob": [1, 2], "barrel": [3, 4]}],
        "plate": [[0, 0], [1, 0], [1, 1], [0.5, 2], [0, 1]],
        "remove_swings": [1],
        "add_swings": [{"start_frame": 10, "end_frame": 60}],
    }
    got = parse_corrections(given, 100)
    assert got.view == "back_side"
    assert got.hand == "left"
    assert got.speed_factor == 8.0
    assert got.instants == {0: {"contact": 62}}
    assert got.keypoints[0]["keypoint"] == 27
    assert got.bat[0]["barrel"] == [3, 4]
    assert got.plate is not None
    assert len(got.plate) == 5
    assert got.remove_swings == {1}
    assert got.add_swings == ((10, 60),)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"views": "back_side"}, "there is no correction called 'views'"),
        ({"view": "left"}, "expected one of chest_side, back_side, catcher_side, pitcher_side, unknown, got 'left'"),
        ({"hand": "both"}, "expected one of right, left, got 'both'"),
        ({"speed_factor": 0}, "speed_factor must lie between 0.1 and 50, got 0"),
        ({"speed_factor": True}, "speed_factor must lie"),
        ({"speed_factor": "fast"}, "speed_factor must lie between 0.1 and 50, got 'fast'"),
        ({"speed_factor": "3"}, "speed_factor must lie"),
        ({"instants": {"0": {"contact": 100}}}, r"contact must be at a frame in 0\.\.99, got 100"),
        ({"instants": {"0": {"contact": 1.5}}}, "contact must be at a frame"),
        ({"instants": {"0": {"impact": 5}}}, "there is no instant called 'impact'"),
        ({"instants": {"first": {"contact": 5}}}, "instants is not of the expected form"),
        ({"instants": {"0": {"load": 9, "contact": 5}}}, r"contact \(frame 5\) cannot come before load \(frame 9\)"),
        ({"keypoints": [{"frame": 1, "keypoint": 33, "x": 1, "y": 1}]}, r"must lie in 0\.\.32, got 33"),
        ({"keypoints": [{"frame": 1, "keypoint": 3, "x": float("nan"), "y": 1}]}, "within 100000 pixels"),
        ({"keypoints": [{"frame": 1, "keypoint": 3, "x": 10**400, "y": 1}]}, "within 100000 pixels"),
        ({"remove_swings": [1] * 101}, "remove_swings holds 101 entries, at most 100 can be used"),
        ({"bat": [{}] * 101}, "bat holds 101 entries, at most 100"),
        ({"keypoints": [{"frame": 1}]}, "keypoints is not of the expected form"),
        ({"bat": [{"frame": -1, "knob": [1, 1], "barrel": [2, 2]}]}, "a bat must be at a frame"),
        ({"plate": [[0, 0]] * 4}, "the plate has 5 corners, got 4"),
        ({"remove_swings": [-1]}, "named by its index, got -1"),
        ({"add_swings": [{"start_frame": 5, "end_frame": 7}]}, "at least 4 frames long"),
    ],
)
def test_a_fault_is_named(given: dict[str, Any], words: str) -> None:
    with pytest.raises(CorrectionError, match=words):
        parse_corrections(given, 100)


def test_every_fault_is_named_at_once() -> None:
    with pytest.raises(CorrectionError) as caught:
        parse_corrections({"hand": "both", "remove_swings": [-1], "zoom": 2}, 100)
    assert str(caught.value).count(";") == 2


def test_the_hands_may_go_before_the_foot_is_down() -> None:
    given = {"instants": {"0": {"foot_down": 50, "swing_start": 48, "contact": 60}}}
    assert parse_corrections(given, 100).instants[0]["swing_start"] == 48
