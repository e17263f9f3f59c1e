"""Films that another generator made, as they are kept: nothing is lost that reading goes by, and their truths agree with themselves."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from analysis.read.motion import SEEN
from tests.lift.external import FILMS, READINGS
from tests.lift.external_store import FilmTruth, load, pack
from tests.lift.people import JUDGING_LATER
from tests.lift.store import save

EVERY = list(load(FILMS))
SWINGS = [truth for _, truth in EVERY if truth.instants]

each_swing = pytest.mark.parametrize("truth", SWINGS, ids=lambda truth: f"film {truth.number}")


def test_what_is_packed_comes_out_as_it_was(tmp_path: Path) -> None:
    still, moving = EVERY[0], next(film for film in EVERY if np.ptp(film[0].camera[:, 0, 2]) > 0)
    save(tmp_path / "films.npz", [pack(*still), pack(*moving)])
    for (tracks, truth), (again, told) in zip((still, moving), load(tmp_path / "films.npz"), strict=True):
        assert told == truth
        assert again.clip == tracks.clip
        for name in (
            "keypoints_px",
            "visibility",
            "world_m",
            "camera",
            "bat_px",
            "bat_confidence",
            "sound_peaks_s",
            "plate_px",
        ):
            np.testing.assert_allclose(getattr(again, name), getattr(tracks, name), atol=1e-4, err_msg=name)


def test_a_place_lies_within_half_a_step_of_where_it_was_however_it_jumps(tmp_path: Path) -> None:
    tracks, truth = EVERY[0]
    jumps = np.random.default_rng(1).uniform(-900, 900, tracks.keypoints_px.shape)
    jumped = replace(tracks, keypoints_px=tracks.keypoints_px + jumps)
    save(tmp_path / "films.npz", [pack(jumped, truth)])
    again, _ = next(load(tmp_path / "films.npz"))
    off = np.abs(again.keypoints_px - jumped.keypoints_px)[:, SEEN]
    assert np.isfinite(off).any()
    assert np.nanmax(off) <= 0.5 / 16 + 1e-3


def test_a_place_too_far_away_to_be_kept_is_refused() -> None:
    tracks, truth = EVERY[0]
    with pytest.raises(ValueError, match="more than can be kept"):
        pack(replace(tracks, world_m=tracks.world_m * 10), truth)


def test_a_film_of_an_unsteady_rate_is_refused() -> None:
    tracks, truth = EVERY[0]
    with pytest.raises(ValueError, match="steady"):
        pack(replace(tracks, time_s=tracks.time_s * 1.001), truth)


def test_nobody_in_the_films_was_fitted_to() -> None:
    assert {truth.person for _, truth in EVERY} <= set(JUDGING_LATER)


def test_there_are_swings_and_what_is_none() -> None:
    assert len(SWINGS) == 26
    assert sorted(truth.kind for _, truth in EVERY if not truth.instants) == [
        "bunt", "check", "check", "point", "take", "take", "throw", "waggle", "walk",
    ]  # fmt: skip


@each_swing
def test_every_reading_has_a_truth(truth: FilmTruth) -> None:
    assert set(truth.readings) == set(READINGS) - {"contact_palms", "finish_pull_across"}


@each_swing
def test_instants_come_in_their_order(truth: FilmTruth) -> None:
    when = truth.instants
    assert when["set_up"] <= when["load"] <= when["foot_down"] < when["contact"]
    assert when["load"] < when["swing_start"] < when["contact"] <= when["extension"] < when["finish"]
    assert when["extension"] - when["contact"] < 0.2 * truth.slowdown


@each_swing
def test_durations_are_those_between_the_instants_and_knees_are_balanced_by_their_bends(truth: FilmTruth) -> None:
    when = {name: 1000 * time / truth.slowdown for name, time in truth.instants.items()}
    told = truth.readings
    assert told["time_to_start"] == pytest.approx(when["swing_start"] - when["foot_down"], abs=0.2)
    assert told["start_to_contact"] == pytest.approx(when["contact"] - when["swing_start"], abs=0.2)
    assert told["down_to_contact"] == pytest.approx(when["contact"] - when["foot_down"], abs=0.2)
    assert told["down_knee_balance"] == pytest.approx(told["down_front_knee"] - told["down_rear_knee"], abs=0.01)
