"""What the desk shows of a clip as a whole: the hitter's place and the sound, small enough to send with the page."""

from __future__ import annotations

import dataclasses
import json

import numpy as np
import pytest
from django.urls import reverse

from portal.desk.overview import hitter_box, overview, sound_bars
from tests.analysis.read.motion import Film, film_swing
from tests.browser.desk_film import empty_tracks

SWING = {"start_frame": 10, "end_frame": 19}


@pytest.fixture
def tracks():
    return empty_tracks(np.arange(60) / 30, (640, 360), 30.0)


def test_the_hitter_is_where_the_boxes_of_the_swing_are_with_a_little_room(tracks):
    boxes = tracks.box_px.copy()
    boxes[12] = (200, 30, 380, 270)
    boxes[14] = np.nan
    boxes[40] = (0, 0, 640, 360)  # after the swing
    box = hitter_box(dataclasses.replace(tracks, box_px=boxes), SWING)
    # from 200 to 384 across and 30 to 270 down, and 6 % of that on each side
    assert box == pytest.approx([189.0, 15.6, 395.0, 284.4], abs=0.1)


def test_the_bat_belongs_to_the_hitter_and_the_box_ends_with_the_picture(tracks):
    bat = tracks.bat_px.copy()
    bat[15] = ((300, 100), (638, 2))
    x0, y0, x1, y1 = hitter_box(dataclasses.replace(tracks, bat_px=bat), SWING)
    assert (x1, y0) == (640, 0)
    assert 0 < x0 < 256
    assert y1 < 360


def test_where_nobody_was_seen_there_is_no_box(tracks):
    assert hitter_box(dataclasses.replace(tracks, box_px=np.full_like(tracks.box_px, np.nan)), SWING) is None


def test_a_crack_stays_in_the_bar_of_its_frame_and_silence_has_none(tracks):
    assert sound_bars(tracks) == []
    time = np.arange(0, 2, 0.002)
    level = np.where(np.abs(time - 1.0) < 0.001, 5.0, 0.05).astype(np.float32)
    bars = sound_bars(dataclasses.replace(tracks, sound_time_s=time, sound_level=level))
    assert len(bars) == 60
    assert bars.index(99) == 30
    assert sorted(bars)[-2] == 1


def test_the_sound_of_the_longest_clip_is_at_most_two_thousand_bytes():
    tracks = empty_tracks(np.arange(28_800) / 240, (640, 360), 240.0)
    time = np.arange(0, 120, 0.002)
    loud = dataclasses.replace(tracks, sound_time_s=time, sound_level=np.ones(len(time), np.float32))
    assert len(json.dumps(sound_bars(loud), separators=(",", ":"))) <= 2000


def test_a_swing_that_was_really_read_has_its_hitter_in_the_box():
    tracks = film_swing(Film())
    x0, y0, x1, y1 = hitter_box(tracks, None)
    seen = tracks.keypoints_px[np.isfinite(tracks.keypoints_px).all(axis=2)]
    inside = (seen >= (x0, y0)).all(axis=1) & (seen <= (x1, y1)).all(axis=1)
    assert inside.mean() > 0.99


def test_a_track_that_is_gone_leaves_the_desk_open_without_box_and_sound(review, desk_client, caplog):
    measurement = review.clip.measurement
    measurement.tracks = "clips/gone/tracks.npz"
    measurement.save()
    assert overview(review.clip, None) == {"hitter": None, "sound": []}
    assert "cannot be shown as a whole" in caplog.text
    assert desk_client.get(reverse("desk", args=[review.submission_id])).status_code == 200
