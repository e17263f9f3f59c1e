"""A tracks file keeps what was watched, and a file that cannot be read says why in words a person "
"can act on."""

from __future__ import annotations

import json
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from analysis.tracks import KEYPOINT_COUNT, TRACKS_SCHEMA, Tracks, TracksError, load

FRAMES = 6


def make_tracks(**changes: Any) -> Tracks:
    rng = np.random.default_rng(1)
    clip = {
        "name": "oak.mp4",
        "sha256": "00",
        "width": 640,
        "height": 360,
        "rotation": 0,
        "codec": "h264",
        "container": "mp4",
        "frames": FRAMES,
        "duration_s": FRAMES / 60,
        "nominal_fps": 60.0,
        "measured_fps": 60.0,
        "variable_rate": False,
        "capture_fps": None,
        "has_sound": False,
    }
    whole: dict[str, Any] = {
        "clip": clip,
        "watch": {"version": 1, "model": "heavy"},
        "time_s": np.arange(FRAMES) / 60.0,
        "keypoints_px": rng.uniform(0, 300, (FRAMES, KEYPOINT_COUNT, 2)).astype(np.float32),
        "visibility": np.ones((FRAMES, KEYPOINT_COUNT), np.float32),
        "world_m": rng.normal(size=(FRAMES, KEYPOINT_COUNT, 3)).astype(np.float32),
        "box_px": np.tile(np.float32([0, 0, 10, 20]), (FRAMES, 1)),
        "camera": np.tile(np.eye(3, dtype=np.float32), (FRAMES, 1, 1)),
        "bat_px": np.full((FRAMES, 2, 2), np.nan, np.float32),
        "bat_confidence": np.zeros(FRAMES, np.float32),
        "ball_px": np.full((FRAMES, 2), np.nan, np.float32),
    }
    return Tracks(**(whole | changes))


def rewrite(path: Path, **changes: Any) -> None:
    """Write the arrays of a tracks file again with some of them changed; None leaves one out."""
    with np.load(path) as held:
        arrays = {name: held[name] for name in held.files} | changes
    np.savez(path, **{name: value for name, value in arrays.items() if value is not None})


@pytest.fixture
def saved(tmp_path: Path) -> Path:
    path = tmp_path / "oak.tracks.npz"
    make_tracks().save(path)
    return path


def test_a_saved_file_comes_back_the_same(saved: Path) -> None:
    before, after = make_tracks(), load(saved)
    assert after.clip == before.clip
    assert after.watch == before.watch
    for item in fields(Tracks):
        if item.name not in ("clip", "watch", "bat_candidates"):
            np.testing.assert_array_equal(getattr(after, item.name), getattr(before, item.name))
    assert after.bat_candidates is None
    assert after.frames == FRAMES


def test_optional_candidates_and_sound_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.npz"
    candidates = np.ones((FRAMES, 3, 5), np.float32)
    make_tracks(
        bat_candidates=candidates,
        sound_time_s=np.arange(4) / 500,
        sound_level=np.ones(4, np.float32),
        sound_peaks_s=np.array([0.004]),
        sound_peak_strength=np.float32([3]),
        plate_confidence=0.5,
    ).save(path)
    after = Tracks.load(path)
    assert after.bat_candidates is not None
    np.testing.assert_array_equal(after.bat_candidates, candidates)
    assert after.sound_peaks_s[0] == 0.004
    assert after.plate_confidence == 0.5


def test_numpy_alone_can_open_the_file(saved: Path) -> None:
    with np.load(saved, allow_pickle=False) as held:
        assert json.loads(str(held["meta"]))["schema"] == TRACKS_SCHEMA


def test_saving_leaves_nothing_but_the_file(saved: Path) -> None:
    assert [p.name for p in saved.parent.iterdir()] == [saved.name]


def test_a_failed_save_keeps_the_file_before(saved: Path) -> None:
    before = saved.read_bytes()
    broken = replace(make_tracks(), watch={"speed": float("nan")})
    with pytest.raises(ValueError, match="JSON"):
        broken.save(saved)
    assert saved.read_bytes() == before


def test_every_fault_is_named_in_one_message() -> None:
    with pytest.raises(TracksError) as caught:
        make_tracks(
            time_s=np.array([0, 1, 1, 2, 3, 4.0]),
            visibility=np.zeros((FRAMES, 3)),
            plate_confidence=2.0,
            clip={},
        )
    words = str(caught.value)
    assert "frame 2 is not later than the one before" in words
    assert "visibility must have shape (6, 33), got (6, 3)" in words
    assert "clip lacks width" in words
    assert "plate_confidence must lie in 0..1, got 2.0" in words


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"time_s": np.zeros(0)}, "there is no frame"),
        ({"time_s": np.array([0, np.nan, 2, 3, 4, 5])}, "not numbers"),
        ({"time_s": np.zeros((2, 2))}, r"one row of times, got shape \(2, 2\)"),
        ({"bat_candidates": np.zeros((FRAMES, 2, 4))}, r"bat_candidates must have shape \(6, any, 5\)"),
        ({"time_s": np.arange(5.0)}, "clip says 6 frames, but there are 5 times"),
    ],
)
def test_a_fault_is_said_in_words(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(TracksError, match=words):
        make_tracks(**changes)


def test_a_wrong_kind_of_clip_fact_is_named() -> None:
    clip = make_tracks().clip | {"width": True, "variable_rate": "no"}
    with pytest.raises(TracksError, match=r"clip width must be int, got True; clip variable_rate must be bool"):
        make_tracks(clip=clip)


def test_another_schema_is_refused_kindly(saved: Path) -> None:
    rewrite(saved, meta=np.array(json.dumps({"schema": 99, "clip": {}, "watch": {}})))
    with pytest.raises(TracksError, match=r"schema 99; this version reads schema 1\. Measure the clip again"):
        load(saved)


@pytest.mark.parametrize("meta", [None, np.array("no json"), np.array("[1]")])
def test_a_file_without_its_schema_is_refused(saved: Path, meta: Any) -> None:
    rewrite(saved, meta=meta)
    with pytest.raises(TracksError, match="does not say its schema"):
        load(saved)


def test_a_file_without_its_clip_is_refused(saved: Path) -> None:
    rewrite(saved, meta=np.array(json.dumps({"schema": TRACKS_SCHEMA})))
    with pytest.raises(TracksError, match="which clip it belongs to"):
        load(saved)


def test_missing_arrays_are_named(saved: Path) -> None:
    rewrite(saved, ball_px=None, camera=None)
    with pytest.raises(TracksError, match=r"lacks ball_px, camera\."):
        load(saved)


@pytest.mark.parametrize("keep", [0, 30, 2000])
def test_a_damaged_file_is_refused(saved: Path, keep: int) -> None:
    saved.write_bytes(saved.read_bytes()[:keep])
    with pytest.raises(TracksError, match="not a tracks file, or it is damaged"):
        load(saved)


def test_an_absent_file_is_an_absent_file(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        load(tmp_path / "none.npz")


def test_a_line_is_surely_the_bat_by_its_chance_and_the_first_versions_scores_never_were() -> None:
    bat = np.tile(np.float32([[0, 0], [5, 9]]), (FRAMES, 1, 1))
    bat[2] = np.nan
    given = np.float32([0.95, 0.8, 0.95, 0.7, np.nan, 0.0])
    now = make_tracks(bat_px=bat, bat_confidence=given, watch={"version": 2})
    assert now.bat_is_sure.tolist() == [True, True, False, False, False, False]
    assert now.bat_chance[2] == 0.0
    before = make_tracks(bat_px=bat, bat_confidence=np.ones(FRAMES, np.float32), watch={"version": 1})
    assert not before.bat_is_sure.any()
    assert before.bat_chance.max() == pytest.approx(0.65)
