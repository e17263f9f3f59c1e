"""What is kept of a clip between two readings is what would be made again, and none of it is another clip's."""

from __future__ import annotations

import copy
import gc

import numpy as np
import pytest

from analysis.read import constants as C
from analysis.read import read
from analysis.read import uncorrected as module
from analysis.read.uncorrected import uncorrected
from tests.analysis.read.motion import Film, film_swing


@pytest.fixture(autouse=True)
def nothing_kept():
    module._kept.clear()


def a_move(frame: int, x: float = 300.0) -> dict[str, object]:
    return {"keypoints": [{"frame": frame, "keypoint": 25, "x": x, "y": 250.0}]}


@pytest.mark.slow
def test_a_reading_is_the_same_whatever_was_read_before() -> None:
    film = film_swing(Film(noise_px=0.7, depth_noise_m=0.02))
    frame = read(film).to_json()["swings"][0]["instants"]["foot_down"]["frame"]
    for move in (
        a_move(frame),
        {"instants": {"0": {"foot_down": frame - 2}}},
        a_move(frame, 340.0),
        {"hand": "left"},
        None,
    ):
        again = read(film, move).to_json()
        module._kept.clear()
        assert read(copy.deepcopy(film), move).to_json() == again


def test_the_same_clip_is_cleaned_once_at_each_speed() -> None:
    film = film_swing(Film())
    assert uncorrected(film, 1.0) is uncorrected(film, 1.0)
    assert uncorrected(film, 2.0) is not uncorrected(film, 1.0)


def test_another_clip_with_the_same_numbers_is_another_clip() -> None:
    film = film_swing(Film())
    assert uncorrected(film, 1.0) is not uncorrected(copy.deepcopy(film), 1.0)


def test_what_is_kept_cannot_be_written_and_goes_with_its_clip() -> None:
    film = film_swing(Film())
    for name in ("steady", "space", "hands_speed"):
        with pytest.raises(ValueError, match="read-only"):
            getattr(uncorrected(film, 1.0).motion, name)[:] = np.nan
    del film
    gc.collect()
    assert not module._kept


def test_only_the_newest_few_are_kept_and_no_very_long_clip(monkeypatch: pytest.MonkeyPatch) -> None:
    films = [film_swing(Film()) for _ in range(C.MOST_KEPT_CLIPS + 2)]
    for film in films:
        uncorrected(film, 1.0)
    assert len(module._kept) == C.MOST_KEPT_CLIPS
    monkeypatch.setattr(C, "MOST_KEPT_FRAMES", 10)
    module._kept.clear()
    uncorrected(films[0], 1.0)
    assert not module._kept
