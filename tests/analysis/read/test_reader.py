"""The whole reading: plain JSON, the same every time, quick, and changed at once by every correction."""

from __future__ import annotations

import json
import math
import time
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from analysis.read import CHECKPOINTS, INSTANTS, CorrectionError, checkpoint, read
from analysis.read.readings import calibrated
from analysis.tracks import Tracks
from tests.analysis.read.motion import Film, Swing, film_swing, part_of
from tests.lift.spreads import spreads

FILM = Film(noise_px=1.5, depth_noise_m=0.02, sound=True)
TWO = Film(noise_px=1.5, depth_noise_m=0.02, swings=(Swing(arms_return=2.2, length=4.0), Swing()))


@pytest.fixture(scope="module")
def tracks() -> Tracks:
    return film_swing(FILM)


def numbers(value: Any) -> list[float]:
    if isinstance(value, dict):
        return [n for item in value.values() for n in numbers(item)]
    if isinstance(value, list | tuple):
        return [n for item in value for n in numbers(item)]
    return [value] if isinstance(value, int | float) and not isinstance(value, bool) else []


def test_the_result_is_plain_json_with_finite_numbers(tracks: Tracks) -> None:
    result = read(tracks).to_json()
    assert json.loads(json.dumps(result, allow_nan=False)) == result
    assert all(math.isfinite(n) for n in numbers(result))


def test_the_result_has_the_agreed_shape(tracks: Tracks) -> None:
    result = read(tracks).to_json()
    assert set(result) == {"schema", "clip", "film", "swings"}
    assert result["schema"] == 1
    assert {"view", "hand", "speed_factor", "speed_suspect", "fps", "checks"} <= set(result["film"])
    [swing] = result["swings"]
    assert tuple(swing["instants"]) == INSTANTS
    assert set(swing["instants"]["contact"]) == {"frame", "time_s", "interval_s", "source", "reason"}
    assert [item["checkpoint"] for item in swing["readings"]] == [entry.id for entry in CHECKPOINTS]
    assert set(swing["readings"][0]) >= {"checkpoint", "value", "unit", "interval", "band", "scale", "call", "reason"}


def test_the_same_input_gives_the_same_result(tracks: Tracks) -> None:
    assert read(tracks).to_json() == read(tracks).to_json()


def test_traces_cover_the_swing_frame_by_frame(tracks: Tracks) -> None:
    swing = read(tracks).to_json()["swings"][0]
    traces = swing["traces"]
    assert traces["frame"] == list(range(swing["start_frame"], swing["end_frame"] + 1))
    assert {len(row) for row in traces.values()} == {len(traces["frame"])}
    loudest = traces["frame"][int(np.argmax(traces["sound"]))]
    assert abs(loudest - swing["instants"]["contact"]["frame"]) <= 1


def test_two_swings_are_two_swings() -> None:
    result = read(film_swing(TWO))
    assert [swing.index for swing in result.swings] == [0, 1]
    assert result.swings[0].end_frame < result.swings[1].start_frame


def test_a_removed_swing_leaves_the_others_their_index() -> None:
    whole = read(film_swing(TWO))
    less = read(film_swing(TWO), {"remove_swings": [0], "instants": {"1": {"contact": 300}}})
    assert [swing.index for swing in less.swings] == [1]
    assert less.swings[0].instants["contact"].frame == 300
    assert whole.swings[1].instants["contact"].frame != 300


def test_an_added_swing_comes_after_those_found() -> None:
    added = read(film_swing(TWO), {"remove_swings": [1], "add_swings": [{"start_frame": 290, "end_frame": 360}]})
    assert [swing.index for swing in added.swings] == [0, 2]
    assert added.swings[1].reaches_contact


def test_added_swings_may_overlap(tracks: Tracks) -> None:
    """Each keeps at least its own fastest frame, also between two others that take all of its time."""
    contact = read(tracks).swings[0].instants["contact"].frame
    assert contact is not None
    spans = [(contact - 30, contact - 8), (contact - 22, contact - 5), (contact - 15, contact)]
    told = read(tracks, {"add_swings": [{"start_frame": first, "end_frame": last} for first, last in spans]})
    assert [swing.index for swing in told.swings] == [0, 1, 2, 3]
    assert all(swing.start_frame <= swing.end_frame for swing in told.swings)


def test_a_coachs_hand_turns_front_into_rear(tracks: Tracks) -> None:
    ours, theirs = read(tracks).swings[0], read(tracks, {"hand": "left"})
    assert theirs.film.hand == "left"
    assert theirs.film.hand_source == "coach"
    assert theirs.film.hand_confidence == 1.0
    assert ours.instants["contact"].time_s is not None


def test_a_coachs_view_changes_what_can_be_read(tracks: Tracks) -> None:
    result = read(tracks, {"view": "catcher_side"})
    assert (result.film.view, result.film.view_source) == ("catcher_side", "coach")
    assert result.swings[0].reading("down_stride_length").call == "not readable"


def test_a_moved_instant_moves_its_readings(tracks: Tracks) -> None:
    wide = {"down_front_knee": (0.0, 90.0), "contact_front_knee": (0.0, 90.0)}
    before, after = (read(tracks, fixed, wide).swings[0] for fixed in ({}, {"instants": {"0": {"foot_down": 55}}}))
    assert after.reading("down_front_knee").value != before.reading("down_front_knee").value
    assert after.reading("down_to_contact").value == pytest.approx(
        before.reading("down_to_contact").value + 1000 * (before.instants["foot_down"].time_s - 55 / 60), abs=1.0
    )
    # How sure a bend is changes a little with the others, and with it by how much it is stretched.
    assert after.reading("contact_front_knee").value == pytest.approx(before.reading("contact_front_knee").value, abs=0.01)


def test_a_moved_keypoint_moves_its_readings(tracks: Tracks) -> None:
    frame = read(tracks).swings[0].instants["foot_down"].frame
    x, y = tracks.keypoints_px[frame, 25]
    moves = [{"frame": frame + n, "keypoint": 25, "x": float(x) - 20.0, "y": float(y)} for n in (-1, 0, 1)]
    before = read(tracks).swings[0].reading("down_front_knee_inside").value
    after = read(tracks, {"keypoints": moves}).swings[0].reading("down_front_knee_inside").value
    # The pitcher is to the right: a knee further left is further inside its foot, here by 20 of about 100 px.
    assert after > before + 10.0


def test_the_coachs_bands_and_the_level_decide_the_call(tracks: Tracks) -> None:
    wide = read(tracks, bands={"down_stride_length": (0.0, 100.0)}).swings[0].reading("down_stride_length")
    tight = read(tracks, bands={"down_stride_length": (80.0, 90.0)}).swings[0].reading("down_stride_length")
    assert (wide.call, tight.call) == ("in range", "out of range")
    assert read(tracks, level="child").swings[0].reading("start_to_contact").band == (None, 270.0)


def test_spreads_are_what_calibration_is_fitted_to(tracks: Tracks) -> None:
    found = spreads(tracks)
    readings = [reading for reading in read(tracks).swings[0].readings if reading.interval is not None]
    assert len(readings) > 10
    for reading in readings:
        said = calibrated(checkpoint(reading.checkpoint), found[reading.checkpoint], group="side")
        assert said.value == reading.value
        assert reading.interval[1] - reading.value == pytest.approx(said.half)


def test_an_unknown_level_is_refused(tracks: Tracks) -> None:
    with pytest.raises(ValueError, match="one of child, youth, adult, got 'tiny'"):
        read(tracks, level="tiny")


def test_a_faulty_correction_changes_nothing_and_says_so(tracks: Tracks) -> None:
    with pytest.raises(CorrectionError, match="got 'both'"):
        read(tracks, {"hand": "both"})


def test_nobody_in_the_clip_gives_no_swing_and_a_kind_word() -> None:
    result = read(film_swing(Film(dropouts=tuple(range(180)))))
    assert result.swings == ()
    assert result.film.view == "unknown"
    assert result.film.hand is None
    swings = next(check for check in result.film.checks if check.id == "swings")
    assert not swings.ok
    assert swings.words.startswith("No swing was found. Film from before the load")
    json.dumps(result.to_json(), allow_nan=False)


def test_one_frame_is_no_swing() -> None:
    short = part_of(film_swing(FILM), slice(0, 1))
    assert read(short).swings == ()


def test_a_correction_is_read_again_in_a_blink(tracks: Tracks) -> None:
    read(tracks)
    started = time.process_time()
    read(tracks, {"instants": {"0": {"foot_down": 66}}})
    # The aim is a tenth of a second on a quiet machine; this bound only catches a method grown slow.
    assert time.process_time() - started < 0.6


def test_a_film_made_of_one_photograph_has_no_swing() -> None:
    tracks = film_swing(Film())
    still = replace(
        tracks,
        keypoints_px=np.repeat(tracks.keypoints_px[:1], tracks.frames, axis=0),
        world_m=np.repeat(tracks.world_m[:1], tracks.frames, axis=0),
    )
    result = read(still)
    assert result.swings == ()
    assert [check.ok for check in result.film.checks if check.id == "swings"] == [False]
