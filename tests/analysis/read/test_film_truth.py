"""Readings against the exact truth of rendered films, seven made by hand and six drawn at random that nothing was fitted to.

The tracks in data/ were made by watching films of tests/films with the real pose model; beside each lies the truth that the
film's generator computed from the motion in space. So these tests judge the whole of reading, errors of the pose included.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from analysis.read import CHECKPOINTS, Result, Swing, read
from analysis.tracks import load
from tests.analysis.read import limits
from tests.analysis.read.motion import part_of

DATA = Path(__file__).parent / "data"
ALL = tuple(sorted(path.name.removesuffix(".truth.json") for path in DATA.glob("*.truth.json")))
# Drawn at random (tests/films/at_random.py), and nothing in reading was fitted to them.
UNSEEN = tuple(name for name in ALL if name.startswith("r") and name[1:3].isdigit())
FILMS = tuple(name for name in ALL if name not in UNSEEN)
KNEES = ("setup_front_knee", "setup_rear_knee", "down_front_knee", "down_rear_knee", "contact_front_knee")

# The whole strip is wanted, so that no knee is too coarse for it.
ANY = {entry.id: entry.scale for entry in CHECKPOINTS if entry.id in KNEES}

each_film = pytest.mark.parametrize("name", FILMS)
any_film = pytest.mark.parametrize("name", ALL)
_RESULTS: dict[str, Result] = {}


def result_of(name: str) -> Result:
    if name not in _RESULTS:
        _RESULTS[name] = read(load(DATA / f"{name}.tracks.npz"))
    return _RESULTS[name]


def truth_of(name: str) -> dict[str, Any]:
    truth: dict[str, Any] = json.loads((DATA / f"{name}.truth.json").read_text())
    return truth


def swings_of(name: str) -> list[tuple[Swing, dict[str, Any]]]:
    return list(zip(result_of(name).swings, truth_of(name)["swings"], strict=True))


def test_there_are_films_of_both_hands_and_three_sides() -> None:
    films = [truth_of(name)["film"] for name in FILMS]
    assert {film["hand"] for film in films} == {"right", "left"}
    assert {film["view"] for film in films} >= {"chest_side", "back_side", "catcher_side"}


@any_film
def test_hand_and_view_are_right(name: str) -> None:
    film, truth = result_of(name).film, truth_of(name)["film"]
    assert (film.hand, film.view) == (truth["hand"], truth["view"])


@any_film
def test_every_swing_is_found_and_no_other(name: str) -> None:
    assert len(result_of(name).swings) == len(truth_of(name)["swings"])
    assert all(swing.reaches_contact for swing in result_of(name).swings)


@any_film
@pytest.mark.parametrize("instant", ["foot_down", "contact"])
def test_foot_down_and_contact_are_near_the_truth(name: str, instant: str) -> None:
    most = limits.FILM_FOOT_DOWN if instant == "foot_down" else 1
    for swing, truth in swings_of(name):
        assert abs(swing.instants[instant].frame - truth["instants"][instant]["frame"]) <= most


def test_foot_down_is_within_a_frame_in_most_films() -> None:
    off = [
        abs(swing.instants["foot_down"].frame - truth["instants"]["foot_down"]["frame"])
        for name in ALL
        for swing, truth in swings_of(name)
    ]
    print(f"foot down within a frame in {np.mean(np.array(off) <= 1):.3f} of {len(off)} swings")
    assert np.mean(np.array(off) <= 1) >= limits.FILM_FOOT_DOWN_WITHIN_1


@each_film
def test_knee_bends_are_near_the_truth(name: str) -> None:
    for swing, truth in swings_of(name):
        for checkpoint in KNEES:
            reading = swing.reading(checkpoint)
            assert reading.value is None or reading.value == pytest.approx(
                truth["truth"][checkpoint], abs=limits.FILM_KNEE_DEG
            ), checkpoint


def test_knee_bends_of_films_that_nothing_was_fitted_to() -> None:
    errors = np.array(
        [
            swing.reading(checkpoint).value - truth["truth"][checkpoint]
            for name in UNSEEN
            for swing, truth in zip(
                read(load(DATA / f"{name}.tracks.npz"), bands=ANY).swings, truth_of(name)["swings"], strict=True
            )
            for checkpoint in KNEES
            if swing.reading(checkpoint).value is not None
        ]
    )
    assert errors.size >= 4 * len(UNSEEN) > 0
    assert np.mean(np.abs(errors)) <= limits.FILM_KNEE_MEAN_DEG


@each_film
def test_lengths_along_the_line_are_true_from_a_side(name: str) -> None:
    for swing, truth in swings_of(name):
        for checkpoint, most in limits.FILM_ALONG.items():
            reading = swing.reading(checkpoint)
            if result_of(name).film.view != "catcher_side":
                assert reading.value == pytest.approx(truth["truth"][checkpoint], abs=most), checkpoint


def test_most_intervals_hold_the_truth() -> None:
    held = [
        reading.interval[0] <= truth["truth"][reading.checkpoint] <= reading.interval[1]
        for name in ALL
        for swing, truth in swings_of(name)
        for reading in swing.readings
        if reading.interval is not None
    ]
    assert len(held) > 100
    assert np.mean(held) >= limits.FILM_HELD


def test_instants_lie_in_their_intervals() -> None:
    held = [
        instant.interval_s[0] <= truth["instants"][name]["time_s"] <= instant.interval_s[1]
        for film in ALL
        for swing, truth in swings_of(film)
        for name, instant in swing.instants.items()
        if instant.interval_s is not None
    ]
    assert np.mean(held) >= limits.FILM_INSTANTS_HELD


@pytest.mark.slow
@any_film
def test_any_part_of_a_film_with_any_frames_missing_is_read(name: str) -> None:
    """Cut anywhere and seen in six frames of ten: fewer swings or reasons why not, never an error."""
    rng = np.random.default_rng(len(name))
    tracks = load(DATA / f"{name}.tracks.npz")
    cuts = [(0, 1), (0, 7), (0, tracks.frames * 2 // 5), (tracks.frames // 2, tracks.frames)]
    cuts += [tuple(sorted(rng.choice(tracks.frames, 2, replace=False).tolist())) for _ in range(2)]
    for first, last in cuts:
        part = part_of(tracks, slice(first, last))
        gone = rng.random(part.frames) < 0.4
        holes = replace(
            part,
            keypoints_px=np.where(gone[:, None, None], np.nan, part.keypoints_px),
            world_m=np.where(gone[:, None, None], np.nan, part.world_m),
        )
        for tracked in (part, holes):
            for swing in read(tracked).swings:
                assert all(instant.time_s is not None or instant.reason for instant in swing.instants.values())
                assert all(reading.value is not None or reading.reason for reading in swing.readings)
