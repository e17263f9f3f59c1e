"""The instants of synthetic swings lie where their definitions put them, whatever the side, hand or frame rate."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from analysis.read import INSTANTS, Result, instants, read
from analysis.read.arrays import Array, Floats32
from analysis.read.instant_network import GRID_S, PREDICTED
from analysis.tracks import KEYPOINTS as K
from tests.analysis.read import limits
from tests.analysis.read.motion import (
    TOWARD_CAMERA,
    Film,
    Swing,
    changed,
    contact_times,
    film_swing,
    instants_of,
    part_of,
    reading_of,
)

ROUGH = Film(noise_px=1.5, depth_noise_m=0.02)


def reading(film: Film, **corrections: object) -> Result:
    return reading_of(film, json.dumps(corrections))


def miss_ms(film: Film, name: str) -> float:
    found = reading(film).swings[0].instants[name]
    assert found.time_s is not None
    return 1000.0 * (found.time_s - instants_of(film)[name])


@pytest.mark.parametrize("view", TOWARD_CAMERA)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_foot_down_is_found_to_the_frame(view: str, hand: str) -> None:
    assert abs(miss_ms(changed(ROUGH, view=view, hand=hand), "foot_down")) < limits.SKELETON_FOOT_DOWN_MS


@pytest.mark.parametrize("view", ["chest_side", "back_side"])
@pytest.mark.parametrize("hangs", [0.12, 0.2])
def test_a_foot_that_hangs_in_the_air_is_not_down(view: str, hangs: float) -> None:
    """A leg kick hangs still before it comes down late, and the toe turns with the swing from then on: no later rest."""
    film = changed(ROUGH, view=view, swings=(Swing(foot_down=1.28, foot_hangs=hangs),))
    tracks, truth = film_swing(film), instants_of(film)
    turns = np.clip((tracks.time_s - truth["foot_down"]) / (truth["contact"] - truth["foot_down"]), 0.0, 1.0)
    keypoints = tracks.keypoints_px.copy()
    keypoints[:, K["left_toe"], 0] += 0.08 * film.height * film.focal / film.distance * turns
    found = read(replace(tracks, keypoints_px=keypoints)).swings[0].instants["foot_down"]
    assert found.time_s == pytest.approx(truth["foot_down"], abs=0.04)


@pytest.mark.parametrize("hangs", [0.0, 0.12, 0.2])
def test_a_leg_kick_that_hangs_ends_on_the_ground(hangs: float) -> None:
    film = changed(ROUGH, swings=(Swing(foot_hangs=hangs),))
    assert abs(miss_ms(film, "foot_down")) < limits.SKELETON_FOOT_DOWN_MS


def test_a_leg_misjudged_at_contact_is_no_stride() -> None:
    """The pose model puts the front leg elsewhere while the body turns through contact."""
    tracks = film_swing(ROUGH)
    contact = int(np.argmin(np.abs(tracks.time_s - contact_times(ROUGH)[0])))
    keypoints = tracks.keypoints_px.copy()
    leg = [K[f"left_{joint}"] for joint in ("knee", "ankle", "heel", "toe")]
    keypoints[contact - 1 : contact + 5, leg] += (0.25 * ROUGH.height * ROUGH.focal / ROUGH.distance, 0.0)
    found = read(replace(tracks, keypoints_px=keypoints)).swings[0].instants["foot_down"]
    assert found.time_s == pytest.approx(instants_of(ROUGH)["foot_down"], abs=limits.SKELETON_FOOT_DOWN_MS / 1000)


@pytest.mark.parametrize("view", ["chest_side", "back_side"])
@pytest.mark.parametrize("fps", [30.0, 60.0, 120.0, 240.0])
def test_contact_is_where_the_bat_is_square(view: str, fps: float) -> None:
    assert abs(miss_ms(changed(ROUGH, view=view, fps=fps), "contact")) < 15.0


@pytest.mark.parametrize("view", ["chest_side", "back_side"])
def test_swing_start_is_where_the_hands_go(view: str) -> None:
    assert abs(miss_ms(changed(ROUGH, view=view), "swing_start")) < 35.0


def test_the_instants_stand_in_order() -> None:
    instants = reading(ROUGH).swings[0].instants
    times = [instants[name].time_s for name in INSTANTS]
    assert all(time is not None for time in times)
    assert times == sorted(times, key=float)


def test_a_start_leaves_time_for_a_swing() -> None:
    late = reading(ROUGH, instants={"0": {"contact": 75}}).swings[0].instants["swing_start"]
    assert late.time_s is None or late.time_s <= 75 / 60 - 0.05
    chosen = reading(ROUGH, instants={"0": {"contact": 75, "swing_start": 74}}).swings[0].instants["swing_start"]
    assert (chosen.frame, chosen.source) == (74, "coach")


def test_an_interval_holds_its_own_time_and_at_least_half_a_frame() -> None:
    for instant in reading(ROUGH).swings[0].instants.values():
        assert instant.interval_s is not None
        low, high = instant.interval_s
        assert low < instant.time_s < high
        assert high - low > 0.5 / 60.0


def test_load_comes_before_the_foot_is_down_and_set_up_before_the_load() -> None:
    instants = reading(ROUGH).swings[0].instants
    assert instants["set_up"].time_s < 0.9
    assert 0.6 < instants["load"].time_s <= instants["foot_down"].time_s


def test_finish_is_where_the_hands_rest() -> None:
    instants = reading(ROUGH).swings[0].instants
    assert instants["finish"].time_s == pytest.approx(1.85, abs=0.15)


def test_a_chosen_frame_is_kept_and_the_others_follow() -> None:
    free = reading(ROUGH).swings[0].instants
    chosen = reading(ROUGH, instants={"0": {"foot_down": 60}}).swings[0].instants
    assert (chosen["foot_down"].frame, chosen["foot_down"].source) == (60, "coach")
    assert chosen["load"].time_s <= 61 / 60
    assert chosen["contact"].time_s == pytest.approx(free["contact"].time_s, abs=0.002)


def test_a_checked_swing_has_no_contact_and_says_why() -> None:
    film = changed(ROUGH, swings=(Swing(checked=True),))
    result = read(film_swing(film), corrections={"add_swings": [{"start_frame": 60, "end_frame": 110}]})
    swing = result.swings[-1]
    assert not swing.reaches_contact
    for name in ("contact", "extension", "finish"):
        assert swing.instants[name].reason == "This swing was checked: it stops before contact."


def test_a_foot_that_stays_down_is_said_so() -> None:
    still = changed(ROUGH, swings=(Swing(foot_lifts=0.1, foot_down=0.2),))
    swing = reading(changed(still, noise_px=0.3)).swings[0]
    found = swing.instants["foot_down"]
    # The stride ended a second before contact: it is found there, far from the swing, or said not to be seen.
    assert found.reason == "The front foot was not seen to lift or move before this swing." or found.time_s < 0.3


def test_a_film_that_ends_early_has_no_finish() -> None:
    cut = part_of(film_swing(ROUGH), np.arange(96))
    swing = read(cut).swings[0]
    assert swing.instants["contact"].time_s == pytest.approx(contact_times(ROUGH)[0], abs=0.03)
    assert swing.instants["finish"].reason == "The hands were not seen to come to rest after this swing."


def test_a_film_that_starts_late_says_so() -> None:
    tracks = film_swing(changed(ROUGH, dropouts=tuple(range(70))))
    swing = read(tracks).swings[0]
    assert swing.instants["contact"].time_s == pytest.approx(contact_times(ROUGH)[0], abs=0.03)
    assert swing.instants["set_up"].time_s is None or swing.instants["set_up"].time_s >= 70 / 60


def test_a_variable_rate_changes_nothing() -> None:
    even = film_swing(changed(ROUGH, fps=120.0))
    rng = np.random.default_rng(2)
    keep = np.sort(rng.choice(even.frames, even.frames * 2 // 3, replace=False))
    uneven = part_of(even, keep)
    for name in ("foot_down", "contact"):
        full = read(even).swings[0].instants[name].time_s
        assert read(uneven).swings[0].instants[name].time_s == pytest.approx(full, abs=0.02)


@pytest.mark.parametrize("near", [0.0, 0.1])
def test_contact_is_not_told_far_from_the_quickest_hands(near: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where hands are lost the network may take something else for contact, half a second late: then what is left near them counts."""
    plain = instants.instant_chances

    def late(rows: Floats32) -> Array:
        chances = plain(rows)
        where = np.zeros(GRID_S.size)
        where[np.abs(GRID_S - 0.5).argmin()], where[np.abs(GRID_S - 0.05).argmin()] = 1.0 - near, near
        chances[PREDICTED.index("contact")] = where
        return chances

    monkeypatch.setattr(instants, "instant_chances", late)
    contact = read(film_swing(changed(ROUGH, sound=False))).swings[0].instants["contact"]
    if near:
        assert contact.time_s == pytest.approx(contact_times(ROUGH)[0], abs=0.1)
    else:
        assert contact.time_s is None
