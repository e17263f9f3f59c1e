"""The finished films and their truth belong together and are physically sound.

Outside checks: ffprobe (Debian's) counts and times the frames; SciPy's Rotation gives the knee bend by another road than
the generator's; the camera is applied here anew from K, R and t; plate and ball after the Official Baseball Rules.
The expected ranges of a swing (timing, bat speed) are common practice, no single source.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from scipy.spatial.transform import Rotation

OUT = Path(__file__).parent / "out"
NAMES = sorted(path.stem for path in OUT.glob("*.json"))
INSTANTS = ["set_up", "load", "foot_down", "swing_start", "contact", "extension", "finish"]
each_film = pytest.mark.parametrize("name", NAMES)
needs_ffprobe = pytest.mark.skipif(shutil.which("ffprobe") is None, reason="ffprobe is not installed")


@cache
def truth(name: str) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads((OUT / f"{name}.json").read_text())
    return loaded


def joint(name: str, which: str, kind: str = "joints_3d") -> np.ndarray:
    return np.array(truth(name)["frames"][kind][which], dtype=float)


def front_rear(name: str) -> tuple[str, str]:
    return ("left", "right") if truth(name)["film"]["hand"] == "right" else ("right", "left")


def times(name: str) -> np.ndarray:
    return np.array(truth(name)["frames"]["time_s"])


def quiet_span(name: str, swing: dict[str, Any], first: str, last: str) -> slice:
    return slice(swing["instants"][first]["frame"], swing["instants"][last]["frame"] + 1)


def test_the_films_cover_what_is_promised() -> None:
    films = [truth(name)["film"] for name in NAMES]
    assert len(films) >= 6
    assert {film["hand"] for film in films} == {"right", "left"}
    assert {film["person"] for film in films} == {"child", "adult"}
    assert {"chest_side", "back_side"} < {film["view"] for film in films}
    assert max(film["fps"] for film in films) >= 120
    assert any(film["bystander"] for film in films)
    assert any(film["variable_rate"] for film in films)
    assert any(len(truth(name)["swings"]) == 2 for name in NAMES)


@each_film
def test_a_film_is_small_and_plays_while_it_loads(name: str) -> None:
    data = (OUT / f"{name}.mp4").read_bytes()
    assert len(data) < 1_000_000
    assert data.index(b"moov") < data.index(b"mdat")


@needs_ffprobe
@each_film
@pytest.mark.slow
def test_ffprobe_sees_the_frames_and_times_of_the_truth(name: str) -> None:
    command = [
        "ffprobe",
        "-v",
        "error",
        "-select_streams",
        "v",
        "-show_entries",
        "frame=pts_time",
        "-of",
        "json",
        str(OUT / f"{name}.mp4"),
    ]
    seen = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)["frames"]
    np.testing.assert_allclose([float(frame["pts_time"]) for frame in seen], times(name), atol=2e-5)
    assert len(seen) == truth(name)["film"]["frames"]


@each_film
def test_the_picture_is_upright_and_of_the_size_told(name: str) -> None:
    film = truth(name)["film"]
    with av.open(str(OUT / f"{name}.mp4")) as container:
        frame = next(container.decode(video=0))
    assert (frame.width, frame.height, frame.rotation) == (film["width"], film["height"], 0)


@each_film
def test_every_joint_stays_inside_the_picture(name: str) -> None:
    film = truth(name)["film"]
    pixels = np.array(list(truth(name)["frames"]["joints_px"].values()))
    assert pixels.min() > 8
    assert pixels[..., 0].max() < film["width"] - 8
    assert pixels[..., 1].max() < film["height"] - 8


@each_film
def test_pixels_follow_from_the_camera_and_the_joints(name: str) -> None:
    camera = truth(name)["film"]["camera"]
    k, r, t = (np.array(camera[key]) for key in ("K", "R", "t"))
    wobble = np.array(camera["wobble"]) if camera["wobble"] else np.eye(3)[None].repeat(len(times(name)), 0)
    for which in ("left_wrist", "right_toe", "nose"):
        seen = (joint(name, which) @ r.T + t) @ k.T
        moved = np.einsum("fij,fj->fi", wobble, seen)
        np.testing.assert_allclose(moved[:, :2] / moved[:, 2:], joint(name, which, "joints_px"), atol=0.15)


@each_film
def test_the_front_foot_does_not_slide_once_it_is_down(name: str) -> None:
    front, _ = front_rear(name)
    for swing in truth(name)["swings"]:
        span = quiet_span(name, swing, "contact", "finish")
        for part in ("toe", "heel", "ankle"):
            assert np.ptp(joint(name, f"{front}_{part}")[span], axis=0).max() < 0.004
        first = swing["instants"]["foot_down"]["frame"] + 1
        toe = joint(name, f"{front}_toe")[first : span.stop]
        assert np.ptp(toe, axis=0).max() < 0.02


@each_film
def test_the_rear_foot_stands_until_it_turns_on_its_ball(name: str) -> None:
    _, rear = front_rear(name)
    for swing in truth(name)["swings"]:
        standing = quiet_span(name, swing, "set_up", "load")
        assert np.ptp(joint(name, f"{rear}_ankle")[standing], axis=0).max() < 0.006
        whole = quiet_span(name, swing, "set_up", "finish")
        assert (
            np.ptp(joint(name, f"{rear}_toe")[whole], axis=0).max() < 0.16
        )  # the toe's tip swings round the ball of the foot
        assert joint(name, f"{rear}_heel")[whole][-1, 1] > 0.06  # heel up at the finish


@each_film
def test_no_foot_goes_into_the_ground(name: str) -> None:
    for side in ("left", "right"):
        for part in ("toe", "heel"):
            assert joint(name, f"{side}_{part}")[:, 1].min() > -0.02


@each_film
def test_both_hands_stay_on_the_grip(name: str) -> None:
    bat = np.array(truth(name)["frames"]["bat_3d"])
    axis = (bat[:, 1] - bat[:, 0]) / np.linalg.norm(bat[:, 1] - bat[:, 0], axis=1, keepdims=True)
    along = {}
    for side in ("left", "right"):
        hand = joint(name, f"{side}_grip") - bat[:, 0]
        along[side] = np.sum(hand * axis, axis=1)
        off = np.linalg.norm(hand - axis * along[side][:, None], axis=1)
        assert off.max() < 0.003
        assert np.ptp(along[side]) < 0.003
    front, rear = front_rear(name)
    assert 0.03 < along[front].mean() < along[rear].mean() < 0.25  # the front hand is the lower one
    np.testing.assert_allclose(
        np.linalg.norm(bat[:, 1] - bat[:, 0], axis=1), truth(name)["film"]["bat_length_m"], atol=0.002
    )


@each_film
def test_bones_keep_their_length(name: str) -> None:
    pairs = [("hip", "knee"), ("knee", "ankle"), ("shoulder", "elbow"), ("elbow", "wrist")]
    for side in ("left", "right"):
        for a, b in pairs:
            length = np.linalg.norm(joint(name, f"{side}_{a}") - joint(name, f"{side}_{b}"), axis=1)
            assert np.ptp(length) < 0.004, (side, a, b)


def bend_by_rotation(name: str, side: str, frame: int) -> float:
    """Knee bend as the angle of the smallest rotation that lays the thigh's direction on the shank's."""
    hip, knee, ankle = (joint(name, f"{side}_{part}")[frame] for part in ("hip", "knee", "ankle"))
    thigh, shank = (knee - hip) / np.linalg.norm(knee - hip), (ankle - knee) / np.linalg.norm(ankle - knee)
    return float(np.degrees(Rotation.align_vectors([shank], [thigh])[0].magnitude()))


@each_film
def test_knee_bends_agree_with_the_joints_by_scipy(name: str) -> None:
    front, rear = front_rear(name)
    where = {
        "setup_front_knee": (front, "set_up"),
        "setup_rear_knee": (rear, "set_up"),
        "down_front_knee": (front, "foot_down"),
        "down_rear_knee": (rear, "foot_down"),
        "contact_front_knee": (front, "contact"),
    }
    for swing in truth(name)["swings"]:
        for checkpoint, (side, instant) in where.items():
            at = swing["instants"][instant]
            # The truth is taken at the instant itself, the joints stand at frames: compare with the line between two frames.
            k = int(np.clip(np.searchsorted(times(name), at["time_s"]), 1, len(times(name)) - 1))
            before, after = times(name)[k - 1], times(name)[k]
            share = (at["time_s"] - before) / (after - before)
            bend = bend_by_rotation(name, side, k - 1) * (1 - share) + bend_by_rotation(name, side, k) * share
            assert bend == pytest.approx(swing["truth"][checkpoint], abs=1.5), (checkpoint, instant)
        balance = swing["truth"]["down_front_knee"] - swing["truth"]["down_rear_knee"]
        assert swing["truth"]["down_knee_balance"] == pytest.approx(balance, abs=0.01)


@each_film
def test_instants_come_in_order_and_at_a_human_pace(name: str) -> None:
    child = truth(name)["film"]["person"] == "child"
    for swing in truth(name)["swings"]:
        at = {key: swing["instants"][key]["time_s"] for key in INSTANTS}
        assert at["set_up"] < at["load"] <= at["foot_down"] < at["contact"] < at["extension"] < at["finish"]
        assert at["load"] < at["swing_start"] < at["contact"]
        assert 0.11 <= at["contact"] - at["foot_down"] <= 0.31
        assert (0.14 if child else 0.11) <= at["contact"] - at["swing_start"] <= (0.24 if child else 0.20)
        assert (13 if child else 22) < swing["facts"]["bat_speed_at_contact_m_s"] < (23 if child else 34)
        for key in INSTANTS:
            away = np.abs(times(name) - at[key])
            assert away[swing["instants"][key]["frame"]] == pytest.approx(
                away.min(), abs=2e-5
            )  # a tie may go either way


@each_film
def test_at_contact_the_ball_touches_the_barrel(name: str) -> None:
    frames = truth(name)["frames"]
    for swing in truth(name)["swings"]:
        frame = swing["instants"]["contact"]["frame"]
        bat, ball = np.array(frames["bat_px"][frame]), frames["ball_px"][frame]
        scale = np.linalg.norm(bat[1] - bat[0])
        assert ball is not None
        away = np.linalg.norm(np.array(ball) - bat, axis=1).min()
        late = abs(times(name)[frame] - swing["instants"]["contact"]["time_s"])
        assert away < max(scale * 0.5, 60) + late * 40 * 250  # a frame may lie up to half an interval beside contact


@each_film
def test_the_head_stays_nearly_still_while_the_bat_goes(name: str) -> None:
    for swing in truth(name)["swings"]:
        assert swing["truth"]["contact_head_travel"] < 8
        assert swing["truth"]["load_head_travel"] < 14


@each_film
def test_plate_corners_have_the_size_of_the_rules(name: str) -> None:
    corners = np.array(truth(name)["film"]["plate_field"])
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1) / 0.0254
    np.testing.assert_allclose(sides, [17, 8.5, 12, 12, 8.5], atol=0.05)


@each_film
def test_the_crack_is_heard_when_the_truth_says(name: str) -> None:
    expected = truth(name)["sound_contact_s"]
    if not expected:
        with av.open(str(OUT / f"{name}.mp4")) as container:
            assert not container.streams.audio
        return
    loud, start, rate = decoded_sound(name)
    for at in expected:
        window = (start + np.arange(len(loud)) / rate > at - 0.05) & (start + np.arange(len(loud)) / rate < at + 0.05)
        first = np.nonzero(window & (np.abs(loud) > 0.35 * np.abs(loud[window]).max()))[0][0]
        assert start + first / rate == pytest.approx(at, abs=0.003)


def decoded_sound(name: str) -> tuple[np.ndarray, float, int]:
    """Samples [N], the presentation time of the first one, and the rate."""
    with av.open(str(OUT / f"{name}.mp4")) as container:
        stream = container.streams.audio[0]
        frames = list(container.decode(stream))
    samples = np.concatenate([frame.to_ndarray()[0] for frame in frames])
    return samples, float(frames[0].time), frames[0].sample_rate


@each_film
def test_the_sound_is_late_by_the_way_to_the_phone(name: str) -> None:
    for swing, heard, delay in zip(
        truth(name)["swings"], truth(name)["sound_contact_s"], truth(name)["sound_delay_s"], strict=False
    ):
        assert heard - swing["instants"]["contact"]["time_s"] == pytest.approx(delay, abs=1e-4)
        assert 3.0 < delay * 343.0 < 9.0


@each_film
def test_hitter_and_camera_stand_where_hand_and_view_say(name: str) -> None:
    film = truth(name)["film"]
    x, _, z = film["camera"]["place"]
    hitter = joint(name, "left_hip")[0, 2]
    assert (hitter < 0) == (
        film["hand"] == "right"
    )  # seen by the catcher, a right-handed hitter stands left of the plate
    if film["view"] in ("chest_side", "back_side"):
        assert (z * hitter > 0) == (film["view"] == "back_side")
        assert abs(z) > 2 * abs(x)
    else:
        assert abs(x) > 2 * abs(z)
        assert (x < 0) == (film["view"] == "catcher_side")


@each_film
def test_front_is_the_side_toward_the_pitcher(name: str) -> None:
    front, rear = front_rear(name)
    for swing in truth(name)["swings"]:
        k = swing["instants"]["set_up"]["frame"]
        for part in ("shoulder", "hip", "ankle"):
            assert joint(name, f"{front}_{part}")[k, 0] > joint(name, f"{rear}_{part}")[k, 0] + 0.1
