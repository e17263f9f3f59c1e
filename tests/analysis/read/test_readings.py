"""Readings: values near the truth, honest intervals, and the exact reason where something cannot be read."""

from __future__ import annotations

import json

import numpy as np
import pytest

from analysis.read import CHECKPOINTS, read
from analysis.read.checkpoint import Checkpoint
from analysis.read.errors import SHOULDERS_SQUARED_DEG
from analysis.read.geometry import bend
from analysis.read.moments import Moments, Pose, Unreadable
from analysis.read.readings import interval_of, read_checkpoints
from tests.analysis.read.motion import TOWARD_CAMERA, Film, changed, film_swing, instants_of, joints_at, reading_of

FILM = Film(noise_px=1.0, depth_noise_m=0.01)


def reading(film: Film, checkpoint_id: str, **corrections: object):  # type: ignore[no-untyped-def]
    return reading_of(film, json.dumps(corrections)).swings[0].reading(checkpoint_id)


def true_bend(film: Film, instant: str, side: str) -> float:
    joints = joints_at(film, instants_of(film)[instant])
    hip, knee, ankle = (joints[f"{side}_{name}"][None] for name in ("hip", "knee", "ankle"))
    return float(bend(hip, knee, ankle)[0])


# Seen from a side, bends follow from weights that were fitted to the pose model's own errors, which these joints do not
# have: rendered films judge them (test_film_truth.py).
@pytest.mark.parametrize("view", ["catcher_side", "pitcher_side"])
@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(("checkpoint_id", "side"), [("down_front_knee", "left"), ("down_rear_knee", "right")])
def test_knee_bends_are_within_ten_degrees(view: str, hand: str, checkpoint_id: str, side: str) -> None:
    film = changed(FILM, view=view, hand=hand)
    assert reading(film, checkpoint_id).value == pytest.approx(true_bend(film, "foot_down", side), abs=10.0)


@pytest.mark.parametrize("view", ["chest_side", "back_side"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_positions_along_the_line_are_true(view: str, hand: str) -> None:
    film = changed(FILM, view=view, hand=hand)
    joints = joints_at(film, instants_of(film)["foot_down"])
    spacing = joints["left_ankle"][0] - joints["right_ankle"][0]
    ears = (joints["left_ear"] + joints["right_ear"]) / 2 - (joints["left_hip"] + joints["right_hip"]) / 2
    inside = 100 * (joints["left_ankle"] - joints["left_knee"])[0] / spacing
    assert reading(film, "down_stride_length").value == pytest.approx(100 * spacing / film.height, abs=3.0)
    assert reading(film, "down_front_knee_inside").value == pytest.approx(inside, abs=5.0)
    assert reading(film, "down_head_centre").value == pytest.approx(100 * ears[0] / film.height, abs=2.5)


@pytest.mark.parametrize("view", TOWARD_CAMERA)
def test_shoulders_closed_by_twenty_two_degrees_are_read_so(view: str) -> None:
    got = reading(changed(FILM, view=view), "down_shoulders_square")
    # These joints are exact; the pose model squares shoulders seen from a side, which the reading makes good.
    expected = -22.0 - SHOULDERS_SQUARED_DEG * (view in ("chest_side", "back_side"))
    assert got.value == pytest.approx(expected, abs=12.0)
    assert got.interval[0] < -22.0 < got.interval[1]


def test_a_left_handed_hitter_is_the_mirror_image() -> None:
    right, left = (read(film_swing(changed(FILM, hand=hand))).swings[0] for hand in ("right", "left"))
    for entry in CHECKPOINTS:
        ours, theirs = right.reading(entry.id), left.reading(entry.id)
        assert ours.call in (theirs.call, "too close to call") or theirs.call == "too close to call"
        if ours.value is not None:
            assert theirs.value == pytest.approx(ours.value, abs=(entry.scale[1] - entry.scale[0]) * 0.2)


def test_every_checkpoint_has_one_reading_in_the_order_of_the_book() -> None:
    readings = read(film_swing(FILM)).swings[0].readings
    assert [item.checkpoint for item in readings] == [entry.id for entry in CHECKPOINTS]
    assert sum(item.value is not None for item in readings) >= 20


def test_an_interval_holds_its_value() -> None:
    for item in read(film_swing(changed(FILM, noise_px=4.0))).swings[0].readings:
        if item.interval is not None:
            assert item.interval[0] <= item.value <= item.interval[1]


def test_a_noisier_film_has_wider_intervals() -> None:
    calm, rough = (reading(changed(FILM, noise_px=noise), "down_head_centre") for noise in (0.5, 16.0))
    assert np.diff(rough.interval)[0] > 1.15 * np.diff(calm.interval)[0]


@pytest.mark.parametrize("checkpoint_id", ["contact_palms", "finish_pull_across"])
def test_what_only_an_eye_can_rate_is_left_to_it(checkpoint_id: str) -> None:
    got = reading(FILM, checkpoint_id)
    assert (got.value, got.call, got.reason) == (None, "coach's eye", "Only a coach's eye can rate this.")


def test_what_a_view_hides_is_not_read_and_the_better_view_is_named() -> None:
    got = reading(changed(FILM, view="catcher_side"), "down_stride_length")
    assert got.call == "not readable"
    assert got.reason == (
        "This cannot be seen from the catcher's side; film from the chest side or the back side to read it."
    )


def test_without_a_bat_its_angle_is_not_read_and_the_way_out_is_named() -> None:
    got = reading(changed(FILM, bat_seen=False), "down_bat_angle")
    assert got.reason == "The bat was not seen in this swing; drag its two ends on the frame to read its angle."


def test_a_bat_placed_by_hand_is_read() -> None:
    film = changed(FILM, bat_seen=False)
    seen = film_swing(FILM)
    placed = [
        {"frame": frame, "knob": seen.bat_px[frame, 0].tolist(), "barrel": seen.bat_px[frame, 1].tolist()}
        for frame in (67, 69, 71, 95)
    ]
    assert reading(film, "down_bat_angle", bat=placed).value == pytest.approx(51.0, abs=10.0)


def test_a_bat_placed_on_one_frame_is_read_with_a_wider_interval_for_it_may_point_out_of_the_picture() -> None:
    seen = film_swing(FILM)
    frame = read(seen).swings[0].instants["foot_down"].frame
    ends = seen.bat_px[frame]
    placed = {"frame": frame, "knob": ends[0].tolist(), "barrel": ends[1].tolist()}
    got = reading(changed(FILM, bat_seen=False), "down_bat_angle", bat=[placed])
    every = reading(FILM, "down_bat_angle")
    assert got.interval[0] <= every.value <= got.interval[1]
    assert got.interval[1] - got.interval[0] > every.interval[1] - every.interval[0]
    lie = np.degrees(np.arctan2(ends[0, 1] - ends[1, 1], abs(ends[1, 0] - ends[0, 0])))
    assert 0.0 < got.value < lie  # it stands up no steeper than the picture has it


def test_a_hidden_body_is_said_to_be_hidden() -> None:
    tracks = film_swing(FILM)
    tracks.keypoints_px[:, [29, 30]] = np.nan
    got = read(tracks).swings[0].reading("down_foot_opening")
    assert got.reason == "The parts of the body that this needs were not seen at this moment."


def test_a_missing_instant_is_the_reason() -> None:
    swing = read(film_swing(changed(FILM, swings=(FILM.swings[0],), dropouts=tuple(range(72))))).swings[0]
    assert swing.instants["foot_down"].time_s is None
    assert swing.reading("down_front_knee").reason == swing.instants["foot_down"].reason


def test_an_error_larger_than_what_matters_is_not_shown_as_a_reading() -> None:
    rng = np.random.default_rng(0)
    wild = Pose(rng.normal(0.0, 1.0, (200, 33, 3)), "right")
    moments = Moments(poses={"foot_down": wild}, times={}, lengths={"foot": np.full(200, 0.15)})
    got = {item.checkpoint: item for item in read_checkpoints(moments, "chest_side", "youth")}["down_head_centre"]
    assert got.call == "not readable"
    assert got.reason.startswith("Here the error would be larger than the difference that matters (±")


def test_an_interval_takes_scatter_and_its_mirror() -> None:
    draws = np.concatenate([[1.0], np.linspace(1.0, 3.0, 999)])
    low, high = interval_of(draws)
    assert low == pytest.approx(1.0)  # no draw lies below
    assert high == pytest.approx(2.9, abs=0.01)


def test_an_unreadable_time_names_the_missing_instant() -> None:
    moments = Moments(poses={}, times={}, lengths={}, missing={"foot_down": "The foot was hidden."})
    with pytest.raises(Unreadable, match="The foot was hidden"):
        moments.seconds("foot_down", "contact")
    with pytest.raises(Unreadable, match="Contact was not found in this swing; move it by hand"):
        moments.at("contact")


@pytest.mark.parametrize("entry", [e for e in CHECKPOINTS if e.measure], ids=lambda entry: entry.id)
def test_a_swing_without_instants_gives_reasons_and_no_values(entry: Checkpoint) -> None:
    empty = Moments(poses={}, times={}, lengths={})
    got = {item.checkpoint: item for item in read_checkpoints(empty, "chest_side", "youth")}[entry.id]
    assert got.value is None
    assert got.call == "not readable"
    assert got.reason
