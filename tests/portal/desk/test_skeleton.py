"""What the desk draws over the film."""

import json

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django.urls import reverse

from portal.desk import skeleton
from portal.measuring import door
from portal.measuring.models import Measurement


class SomeTracks:
    """As much of the tracks as the skeleton is made of: keypoint k of frame f lies at (10 f + k, k)."""

    def __init__(self, frames: int) -> None:
        f, k = np.mgrid[0:frames, 0:33]
        self.time_s = np.arange(frames) / 60
        self.keypoints_px = np.stack([10.0 * f + k, k], axis=2).astype(np.float32)
        self.visibility = np.full((frames, 33), 0.9, np.float32)
        self.bat_px = np.tile(np.array([[1.0, 2.0], [3.0, 4.0]], np.float32), (frames, 1, 1))
        self.bat_is_sure = np.arange(frames) != 5
        self.box_px = np.tile(np.array([0.0, 1.0, 2.0, 3.0], np.float32), (frames, 1))
        self.camera = np.tile(np.eye(3), (frames, 1, 1))
        self.camera[6, 0, 2] = 12.5
        self.camera[7] = np.nan
        self.keypoints_px[2, 5] = np.nan
        self.bat_px[3] = np.nan
        self.keypoints_px[4] = np.nan


@pytest.fixture
def tracks(monkeypatch):
    monkeypatch.setattr(skeleton, "load_tracks", lambda name: SomeTracks(50))


def measurement(**corrections):
    return Measurement(tracks="tracks.npz", corrections=corrections)


def test_a_stretch_holds_the_frames_asked_for(tracks):
    part = skeleton.stretch(measurement(), 1, 4)
    assert (part["first"], part["last"], len(part["points"])) == (1, 4, 4)
    assert part["points"][0][7] == [17.0, 7.0, 0.9]
    assert part["bat"][0] == [[1.0, 2.0], [3.0, 4.0]]
    assert part["box"][0] == [0, 1, 2, 3]


def test_what_was_not_seen_is_null(tracks):
    part = skeleton.stretch(measurement(), 0, 9)
    assert part["points"][2][5] is None
    assert part["points"][4] is None
    assert part["bat"][3] is None


def test_a_line_that_may_not_be_the_bat_is_not_drawn(tracks):
    assert skeleton.stretch(measurement(), 5, 6)["bat"] == [None, [[1.0, 2.0], [3.0, 4.0]]]


def test_what_was_not_seen_is_no_number_in_json(tracks):
    part = skeleton.stretch(measurement(), 0, 9)
    json.dumps(part, allow_nan=False)


@pytest.mark.parametrize(
    ("first", "last", "given"), [(-5, 3, (0, 3)), (48, 900, (48, 49)), (900, 901, (49, 49)), (9, 2, (9, 9))]
)
def test_a_stretch_is_cut_at_the_clip(tracks, first, last, given):
    part = skeleton.stretch(measurement(), first, last)
    assert (part["first"], part["last"]) == given


def test_what_the_coach_put_in_place_is_laid_over(tracks):
    moves = {
        "keypoints": [{"frame": 6, "keypoint": 25, "x": 1.5, "y": 2.5}],
        "bat": [{"frame": 7, "knob": [0, 0], "barrel": [8, 9]}],
    }
    part = skeleton.stretch(measurement(**moves), 5, 8)
    assert part["points"][1][25] == [1.5, 2.5, 1.0]
    assert part["bat"][2] == [[0.0, 0.0], [8.0, 9.0]]


def test_a_moved_camera_comes_as_nine_numbers_and_an_unknown_one_as_the_last_known(tracks):
    part = skeleton.stretch(measurement(), 5, 8)
    moved = [1.0, 0.0, 12.5, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0]
    assert part["camera"] == [None, moved, moved, None]


def test_the_cached_tracks_are_not_touched_by_corrections(monkeypatch):
    kept = SomeTracks(20)
    monkeypatch.setattr(skeleton, "load_tracks", lambda name: kept)
    skeleton.stretch(measurement(bat=[{"frame": 7, "knob": [0, 0], "barrel": [8, 9]}]), 0, 9)
    assert kept.bat_px[7].tolist() == [[1, 2], [3, 4]]


def test_a_coach_gets_it_and_a_wrong_stretch_is_refused(tracks, desk_client, measured_clip):
    url = reverse("clip_skeleton", args=[measured_clip.pk])
    assert desk_client.get(url, {"first": 0, "last": 3}).json()["last"] == 3
    assert desk_client.get(url).status_code == 400


def test_tracks_that_are_gone_are_not_there(desk_client, measured_clip):
    door.load_tracks.cache_clear()
    assert not default_storage.exists(measured_clip.measurement.tracks)
    assert (
        desk_client.get(reverse("clip_skeleton", args=[measured_clip.pk]), {"first": 0, "last": 3}).status_code == 404
    )
