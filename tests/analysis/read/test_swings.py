"""Swings are counted, and what only looks like one is not."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from analysis.read.corrections import parse_corrections
from analysis.read.motion import Motion, clean_motion
from analysis.read.swing_search import search_swings
from analysis.read.swings import Candidate, candidate_between
from tests.analysis.read.motion import TOWARD_CAMERA, Film, Swing, contact_times, film_swing

ROUGH = {"noise_px": 2.0, "depth_noise_m": 0.03}
views = pytest.mark.parametrize("view", TOWARD_CAMERA)
hands = pytest.mark.parametrize("hand", ["right", "left"])


def motion_of(film: Film) -> Motion:
    return clean_motion(film_swing(film))


def swings_in(film: Film) -> list[Candidate]:
    tracks = film_swing(film)
    return list(search_swings(tracks, parse_corrections({"hand": film.hand}, tracks.frames)).swings.values())


@views
@hands
def test_one_swing_is_one_swing(view: str, hand: str) -> None:
    film = Film(view=view, hand=hand, **ROUGH)
    [swing] = swings_in(film)
    assert swing.start < contact_times(film)[0] * film.fps < swing.end


@views
def test_the_arms_way_back_is_no_swing(view: str) -> None:
    film = Film(view=view, swings=(Swing(arms_return=2.1, length=4.0),), **ROUGH)
    assert len(swings_in(film)) == 1


def test_several_swings_are_found_in_order() -> None:
    film = Film(swings=(Swing(arms_return=2.2, length=4.0), Swing(length=3.5), Swing()), **ROUGH)
    found = swings_in(film)
    times = motion_of(film).times
    assert len(found) == 3
    for swing, contact in zip(found, contact_times(film), strict=True):
        assert times[swing.start] < contact < times[swing.end]


@views
def test_a_checked_swing_is_none_and_the_whole_one_after_it_is(view: str) -> None:
    film = Film(view=view, swings=(Swing(checked=True), Swing()), **ROUGH)
    assert [swing.peak > 180 for swing in swings_in(film)] == [True]


def test_standing_still_is_no_swing() -> None:
    still = Film(swings=(Swing(foot_lifts=20.0, foot_down=20.5, hands_go=20.6, contact=20.8, finish=21.2, length=0.4),))
    assert swings_in(still) == []


def test_nobody_seen_is_no_swing() -> None:
    assert swings_in(Film(dropouts=tuple(range(180)))) == []


def test_a_marked_swing_is_the_run_between_its_marks() -> None:
    film = Film(swings=(Swing(length=3.0), Swing(length=3.0)), **ROUGH)
    swing = candidate_between(motion_of(film), 230, 320)
    assert 230 <= swing.start < contact_times(film)[1] * film.fps < swing.end <= 320


def test_in_slow_motion_a_marked_swing_is_looked_for_at_its_own_tempo() -> None:
    """A hand lost for a moment is quicker than the swing itself runs in the film, but only for a moment."""
    speed = np.zeros(300)
    speed[50:56], speed[180:220] = 3.0, 2.0
    times = np.arange(300) / 60
    slow, plain = (
        cast("Motion", SimpleNamespace(hands_speed=speed, times=times, slowdown=factor)) for factor in (4.0, 1.0)
    )
    assert 180 <= candidate_between(slow, 20, 290).peak < 220
    assert 50 <= candidate_between(plain, 20, 290).peak < 56
