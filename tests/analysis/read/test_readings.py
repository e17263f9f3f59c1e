"""Readings: values near the truth, honest intervals, and the exact reason where something cannot be read."""

from __future__ import annotations

import json
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from analysis.read import CHECKPOINTS, INSTANTS, checkpoint, read
from analysis.read.checkpoint import Checkpoint
from analysis.read.geometry import bend
from analysis.read.lift import JOINTS
from analysis.read.perturbations import PERTURBATIONS, steps
from analysis.read.perturbed_swing import PerturbedSwing, Pose, Unreadable
from analysis.read.readings import Spread, calibrated, interval_of, read_checkpoints, spread_of
from tests.analysis.read import limits
from tests.analysis.read.motion import TOWARD_CAMERA, Film, changed, film_swing, instants_of, joints_at, reading_of

FILM = Film(noise_px=1.0, depth_noise_m=0.01)
UNKNOWN = dict.fromkeys((*INSTANTS, "slot"), "It was too dark to see.")


def reading(film: Film, checkpoint_id: str, **corrections: object):  # type: ignore[no-untyped-def]
    return reading_of(film, json.dumps(corrections)).swings[0].reading(checkpoint_id)


def value(film: Film, checkpoint_id: str) -> float | None:
    """What is read, however wide its interval: the whole strip is wanted, so that nothing is too coarse for it."""
    (entry,) = (entry for entry in CHECKPOINTS if entry.id == checkpoint_id)
    return read(film_swing(film), bands={checkpoint_id: entry.scale}).swings[0].reading(checkpoint_id).value


def true_bend(film: Film, instant: str, side: str) -> float:
    joints = joints_at(film, instants_of(film)[instant])
    hip, knee, ankle = (joints[f"{side}_{name}"][None] for name in ("hip", "knee", "ankle"))
    return float(bend(hip, knee, ankle)[0])


# The lift knows people as the pose model sees them; this skeleton has exact joints and proportions of its own, so it is read
# about as well as a stranger, and rendered films judge the rest (test_film_truth.py).
@pytest.mark.parametrize("view", TOWARD_CAMERA)
@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(("checkpoint_id", "side"), [("down_front_knee", "left"), ("down_rear_knee", "right")])
def test_knee_bends_are_near_the_truth(view: str, hand: str, checkpoint_id: str, side: str) -> None:
    film = changed(FILM, view=view, hand=hand)
    assert value(film, checkpoint_id) == pytest.approx(true_bend(film, "foot_down", side), abs=limits.SKELETON_KNEE_DEG)


@pytest.mark.parametrize("view", ["chest_side", "back_side"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_positions_along_the_line_are_true(view: str, hand: str) -> None:
    film = changed(FILM, view=view, hand=hand)
    joints = joints_at(film, instants_of(film)["foot_down"])
    spacing = joints["left_ankle"][0] - joints["right_ankle"][0]
    ears = (joints["left_ear"] + joints["right_ear"]) / 2 - (joints["left_hip"] + joints["right_hip"]) / 2
    inside = 100 * (joints["left_ankle"] - joints["left_knee"])[0] / spacing
    true = {
        "down_stride_length": 100 * spacing / film.height,
        "down_front_knee_inside": inside,
        "down_head_centre": 100 * ears[0] / film.height,
    }
    for checkpoint_id, most in limits.SKELETON_ALONG.items():
        assert value(film, checkpoint_id) == pytest.approx(true[checkpoint_id], abs=most)


@pytest.mark.parametrize("view", TOWARD_CAMERA)
def test_shoulders_closed_by_twenty_two_degrees_are_read_so(view: str) -> None:
    assert value(changed(FILM, view=view), "down_shoulders_square") == pytest.approx(
        -22.0, abs=limits.SKELETON_SHOULDERS_DEG
    )


def test_a_left_handed_hitter_is_the_mirror_image() -> None:
    right, left = (read(film_swing(changed(FILM, hand=hand))).swings[0] for hand in ("right", "left"))
    for entry in CHECKPOINTS:
        ours, theirs = right.reading(entry.id), left.reading(entry.id)
        assert ours.call in (theirs.call, "too close to call") or theirs.call == "too close to call"
        if (
            ours.value is not None and theirs.value is not None
        ):  # at the border of what is readable, one may be told alone
            assert theirs.value == pytest.approx(ours.value, abs=(entry.scale[1] - entry.scale[0]) * 0.2)


def test_every_checkpoint_has_one_reading_in_the_order_of_the_book() -> None:
    readings = read(film_swing(FILM)).swings[0].readings
    assert [item.checkpoint for item in readings] == [entry.id for entry in CHECKPOINTS]
    assert sum(item.value is not None for item in readings) >= 15


def test_an_interval_holds_its_value() -> None:
    for item in read(film_swing(changed(FILM, noise_px=4.0))).swings[0].readings:
        if item.interval is not None:
            assert item.interval[0] <= item.value <= item.interval[1]


def test_a_noisier_film_has_wider_intervals() -> None:
    calm, rough = (reading(changed(FILM, noise_px=noise), "down_stride_length") for noise in (0.5, 16.0))
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
    swing = read(film_swing(changed(FILM, swings=(FILM.swings[0],), dropouts=tuple(range(76))))).swings[0]
    assert swing.instants["foot_down"].time_s is None
    assert swing.reading("down_front_knee").reason == swing.instants["foot_down"].reason


def moments_with(spread: float) -> PerturbedSwing:
    """Moments whose only pose, at foot down, is uncertain by so many standing heights in every coordinate."""
    away = steps("poses")[:, : 3 * len(JOINTS)].reshape(PERTURBATIONS, len(JOINTS), 3)
    standing = np.random.default_rng(0).normal(0.0, 0.3, (len(JOINTS), 3))
    pose = Pose(standing + spread * away, "right")
    return PerturbedSwing({"foot_down": pose}, {}, UNKNOWN)


def test_an_interval_wider_than_its_band_cannot_speak_and_is_not_shown_as_a_reading() -> None:
    got = {item.checkpoint: item for item in read_checkpoints(moments_with(1.0), "chest_side", "youth")}
    assert got["down_head_centre"].call == "not readable"
    assert got["down_head_centre"].reason.startswith("From the chest side this shows only to ±")
    assert got["down_head_centre"].reason.endswith(", too coarse for the wanted range; a sharper, closer film helps.")
    assert got["down_front_knee"].reason.endswith("; film from the catcher's side or the pitcher's side to read it.")
    assert got["down_knee_balance"].reason.endswith("; a film from one phone hardly ever shows this.")
    open_ended = read_checkpoints(moments_with(1.0), "chest_side", "youth", {"down_head_centre": (None, None)})
    assert {item.checkpoint: item for item in open_ended}["down_head_centre"].call == "not readable"


def test_where_another_view_shows_it_that_view_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    facts = {"usual": {"down_hips_square": {"along": 6.0, "side": 20.0}}}
    monkeypatch.setattr("analysis.read.readings.network", lambda: SimpleNamespace(facts=facts))
    from_side = {item.checkpoint: item for item in read_checkpoints(moments_with(1.0), "back_side", "youth")}
    assert from_side["down_hips_square"].reason.endswith(
        "too coarse for the wanted range; film from the catcher's side or the pitcher's side to read it."
    )


def test_a_spread_is_that_of_independent_errors_together() -> None:
    values = 20.0 + 3.0 * steps("ahead")[:, 0] - 4.0 * steps("up")[:, 1]
    entry = replace(checkpoint("down_front_knee"), measure=lambda _: values)
    assert spread_of(entry, PerturbedSwing({}, {}, UNKNOWN), "chest_side") == Spread(20.0, pytest.approx(5.0 * 1.645))


def test_a_direction_that_jumps_by_a_full_turn_is_no_less_sure() -> None:
    values = (179.0 + 2.0 * steps("ahead")[:, 0] + 180.0) % 360.0 - 180.0
    entry = replace(checkpoint("down_hips_square"), measure=lambda _: values)
    assert spread_of(entry, PerturbedSwing({}, {}, UNKNOWN), "chest_side").half == pytest.approx(2.0 * 1.645)


def test_what_cannot_be_negative_is_never_said_to_be() -> None:
    assert interval_of(checkpoint("down_front_knee"), Spread(1.0, 3.0)) == (0.0, 4.0)
    assert interval_of(checkpoint("down_hips_square"), Spread(1.0, 3.0)) == (-2.0, 4.0)


def test_intervals_are_made_as_wide_as_strangers_have_taught(monkeypatch: pytest.MonkeyPatch) -> None:
    facts = {"calibration": {"down_front_knee": {"side": 2.0}}, "offsets": {"down_front_knee": {"side": -1.0}}}
    monkeypatch.setattr("analysis.read.readings.network", lambda: SimpleNamespace(facts=facts))
    entry = checkpoint("down_front_knee")
    assert calibrated(entry, Spread(30.0, 4.0), group="side") == Spread(29.0, 8.0)
    assert calibrated(entry, Spread(30.0, 4.0), group="along") == Spread(30.0, 4.0)


def test_a_value_is_stretched_away_from_the_usual_one_by_less_where_it_is_surer(monkeypatch: pytest.MonkeyPatch) -> None:
    told = {"stretch": 0.4, "centre": 30.0, "spread": 8.0, "offsets": -1.0, "calibration": 2.0}
    facts = {what: {"down_front_knee": {"side": value}} for what, value in told.items()}
    monkeypatch.setattr("analysis.read.readings.network", lambda: SimpleNamespace(facts=facts))
    entry = checkpoint("down_front_knee")
    # 0.4 of the 10 beyond 30 for a usual spread, a quarter of that for half of it, and 2 times that for any that is far wider.
    assert calibrated(entry, Spread(40.0, 8.0), group="side") == Spread(43.0, pytest.approx(22.4))
    assert calibrated(entry, Spread(40.0, 4.0), group="side") == Spread(40.0, pytest.approx(8.8))
    assert calibrated(entry, Spread(20.0, 80.0), group="side") == Spread(11.0, pytest.approx(288.0))
    assert calibrated(entry, Spread(40.0, 8.0), group="along") == Spread(40.0, 8.0)


def test_an_unreadable_time_names_the_missing_instant() -> None:
    moments = PerturbedSwing({}, {}, missing={"foot_down": "The foot was hidden.", "contact": "It was too dark."})
    with pytest.raises(Unreadable, match="The foot was hidden"):
        moments.seconds("foot_down", "contact")
    with pytest.raises(Unreadable, match="It was too dark"):
        moments.at("contact")


@pytest.mark.parametrize("entry", [e for e in CHECKPOINTS if e.measure], ids=lambda entry: entry.id)
def test_a_swing_without_instants_gives_reasons_and_no_values(entry: Checkpoint) -> None:
    empty = PerturbedSwing({}, {}, UNKNOWN)
    got = {item.checkpoint: item for item in read_checkpoints(empty, "chest_side", "youth")}[entry.id]
    assert got.value is None
    assert got.call == "not readable"
    assert got.reason
