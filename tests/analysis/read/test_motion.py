"""Cleaning gives back the motion that was there: swaps, outliers, jitter and the camera's pan are gone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analysis.read.motion import SEEN, clean_motion
from analysis.tracks import KEYPOINTS as K
from tests.analysis.read.motion import Film, changed, film_swing

CLEAN = Film()
SPOILED = Film(noise_px=2.0, depth_noise_m=0.02, swaps=((30, 36), (95, 96)), outliers=15, pan_px=60.0)


def test_a_spoiled_film_is_cleaned_to_the_true_motion() -> None:
    got, true = clean_motion(film_swing(SPOILED)), film_swing(CLEAN).keypoints_px
    miss = np.linalg.norm(got.steady[:, SEEN] - true[:, SEEN], axis=2)
    assert np.median(miss) < 1.5
    assert np.percentile(miss, 99) < 6.0


def test_the_cameras_pan_is_taken_out() -> None:
    tracks = film_swing(changed(CLEAN, pan_px=60.0))
    got = clean_motion(tracks)
    assert np.ptp(got.steady[:, K["right_heel"], 0]) < 2.0


def test_the_height_in_pixels_is_the_hitters() -> None:
    # A pinhole camera of focal length 1000 px at 6 m sees 1.5 m as 250 px.
    assert np.median(clean_motion(film_swing(CLEAN)).height_px) == pytest.approx(250.0, rel=0.05)


def test_frames_without_the_hitter_stay_empty_at_the_ends() -> None:
    got = clean_motion(film_swing(changed(CLEAN, dropouts=(*range(10), *range(170, 180)))))
    assert np.isnan(got.steady[:10, K["nose"]]).all()
    assert np.isnan(got.steady[170:, K["nose"]]).all()
    assert np.isfinite(got.steady[10:170, K["nose"]]).all()


def test_a_moved_keypoint_goes_where_it_was_put() -> None:
    tracks = film_swing(changed(CLEAN, noise_px=1.0))
    x, y = tracks.keypoints_px[60, K["left_knee"]] + [12.0, -7.0]
    move = {"frame": 60, "keypoint": K["left_knee"], "x": float(x), "y": float(y)}
    before = clean_motion(tracks)
    got = before.with_moved([move])
    assert np.linalg.norm(got.steady[60, K["left_knee"]] - [x, y]) < 2.0
    others = [keypoint for keypoint in range(33) if keypoint != K["left_knee"]]
    np.testing.assert_array_equal(got.steady[:, others], before.steady[:, others])
    np.testing.assert_array_equal(got.world, before.world)


def test_a_keypoint_moved_in_a_turned_camera_goes_where_the_picture_shows_it() -> None:
    tracks = film_swing(CLEAN)
    camera = tracks.camera.copy()
    camera[60, :2, 2] += [40.0, -5.0]
    x, y = tracks.keypoints_px[60, K["left_knee"]] - [40.0, -5.0]
    got = clean_motion(replace(tracks, camera=camera)).with_moved(
        [{"frame": 60, "keypoint": K["left_knee"], "x": float(x), "y": float(y)}]
    )
    assert np.linalg.norm(got.steady[60, K["left_knee"]] - tracks.keypoints_px[60, K["left_knee"]]) < 2.0


def test_cleaning_leaves_the_tracks_as_they_were() -> None:
    tracks = film_swing(SPOILED)
    before = tracks.keypoints_px.copy()
    clean_motion(tracks).with_moved([{"frame": 5, "keypoint": 0, "x": 1.0, "y": 1.0}])
    np.testing.assert_array_equal(tracks.keypoints_px, before)


def test_nobody_seen_gives_nothing_and_no_error() -> None:
    tracks = film_swing(changed(CLEAN, dropouts=tuple(range(180))))
    assert np.isnan(clean_motion(tracks).steady).all()
