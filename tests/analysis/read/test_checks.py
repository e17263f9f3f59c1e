"""Film checks find the fault that a film has, and no other."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analysis.read import read
from analysis.read.result import FilmCheck
from analysis.tracks import Tracks
from tests.analysis.read.motion import Film, film_swing
from tests.lift.samples import slowed

GOOD = Film(noise_px=1.0, sound=True, focal=1200.0)


def checks(tracks: Tracks) -> dict[str, FilmCheck]:
    return {check.id: check for check in read(tracks).film.checks}


def failed(tracks: Tracks) -> list[str]:
    return [name for name, check in checks(tracks).items() if not check.ok]


def test_a_good_film_passes() -> None:
    assert failed(film_swing(GOOD)) == []


@pytest.mark.parametrize(
    ("film", "fault"),
    [
        (replace(GOOD, fps=30.0), "fps"),
        (replace(GOOD, distance=14.0), "size"),
        (replace(GOOD, sound=False), "sound"),
        (replace(GOOD, pan_px=600.0), "steady"),
    ],
)
def test_a_fault_is_found_and_no_other(film: Film, fault: str) -> None:
    assert failed(film_swing(film)) == [fault]


def test_a_slowed_film_is_asked_for_frames_of_the_swing_and_not_of_the_film() -> None:
    for fps, factor, is_ok in ((30.0, 4, True), (20.0, 2, False)):
        film = read(slowed(film_swing(replace(GOOD, fps=fps)), factor), {"speed_factor": float(factor)}).film
        told = {check.id: check for check in film.checks}["fps"]
        assert told.ok is is_ok
        assert f"{fps * factor:.0f} frames for each second of the swing" in told.words


def test_feet_below_the_picture_are_cut_off() -> None:
    tracks = film_swing(GOOD)
    low = int(np.nanmax(tracks.keypoints_px[..., 1])) - 8
    assert failed(replace(tracks, clip=tracks.clip | {"height": low})) == ["feet"]


def test_words_say_what_to_do() -> None:
    for check in checks(film_swing(replace(GOOD, fps=30.0, sound=False, distance=14.0))).values():
        assert check.words.endswith(".")
        assert check.words[0].isupper()
        assert len(check.words) > 15


@pytest.mark.parametrize(("mended", "said"), [(1, "1 frame had a time stamp"), (3, "3 frames had time stamps")])
def test_times_that_had_to_be_put_in_order_are_told(mended: int, said: str) -> None:
    tracks = film_swing(GOOD)
    told = checks(replace(tracks, clip=tracks.clip | {"mended_times": mended}))["times"]
    assert not told.ok
    assert said in told.words
