"""Habits of a hitter's own, as keys of the motion: there when they are wished, and nothing moves by them when they are not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.films.curves import Curve
from tests.films.keyposes import Rows, hands_and_bat, lower, upper
from tests.films.manner import Manner, Timing
from tests.lift.movers import _own_way, _own_way_through

TIMES = Timing(contact=2.0)


def curves(manner: Manner, timing: Timing = TIMES) -> dict[str, Curve]:
    """All curves of one swing of a body 1.78 m tall."""
    return {name: Curve(rows) for name, rows in keys(manner, timing).items()}


def keys(manner: Manner, timing: Timing = TIMES) -> dict[str, Rows]:
    return {**lower(timing, manner, 1.0), **upper(timing, manner, 1.0), **hands_and_bat(timing, manner, 1.0)}


def test_without_habits_the_rear_foot_stays_and_no_hand_lets_go():
    usual = keys(Manner())
    assert {x for _, x in usual["rear_foot_x"]} == {-Manner().base / 2}
    assert {off for _, off in usual["let_go"]} == {0.0}


def test_a_foot_that_taps_comes_down_behind_where_it_stood_and_goes_once_more():
    tapping = curves(Manner(tap=0.12))
    tapped = TIMES.load - 0.45 * TIMES.move_to_load
    assert tapping["front_foot_y"](tapped) == pytest.approx(0.0, abs=0.002)
    assert tapping["front_foot_x"](tapped) == pytest.approx(Manner().base / 2 - 0.12, abs=0.005)
    assert tapping["front_foot_y"](tapped - 0.15) > 0.01
    assert tapping["front_foot_y"](TIMES.load) == pytest.approx(Manner().lift, abs=0.01)


@pytest.mark.parametrize("early", [-0.012, 0.012])
def test_a_ball_met_early_is_met_ahead_of_square(early):
    bat = curves(Manner(meets=early))["bat"](TIMES.contact)
    assert np.sign(bat[0]) == np.sign(early)
    assert 8 < abs(bat[0]) < 40


def test_hips_that_lead_are_farther_round_when_the_hands_go():
    usual, leading = (curves(Manner(hips_lead=lead))["pelvis_yaw"](TIMES.start) for lead in (0.0, 0.05))
    assert leading > usual + 15


def test_a_hand_lets_go_after_contact_alone():
    off = curves(Manner(lets_go=0.4))["let_go"]
    assert off(TIMES.contact) == pytest.approx(0.0, abs=1e-6)
    assert off(TIMES.finish) == pytest.approx(0.4)


@pytest.mark.slow
def test_habits_drawn_at_random_leave_the_swing_in_order():
    rng = np.random.default_rng(1)
    some = []
    for _ in range(300):
        down, start = rng.uniform(0.10, 0.42), rng.uniform(0.105, 0.30)
        timing = Timing(2.5, down, start, rng.uniform(0.12, 0.42), rng.uniform(0.3, 0.8))
        manner, timing = _own_way(replace(Manner(), base=float(rng.uniform(0.36, 0.85))), timing, rng)
        own = curves(manner, timing)  # raises where two keys stand at the same time
        assert timing.move < timing.load < timing.down < timing.contact < timing.finish
        assert timing.load + manner.hands_load_late < max(timing.down, timing.load + 1e-9)
        turns = [float(own["pelvis_yaw"](time)) for time in np.arange(timing.down, timing.contact, 0.005)]
        assert min(np.diff(turns), default=0.0) > -0.5 or timing.start < timing.down
        some.append(manner)
    shares = [
        np.mean([getattr(m, name) != getattr(Manner(), name) for m in some])
        for name in ("tap", "rock", "lets_go", "meets")
    ]
    assert all(0.4 < share < 0.6 for share in shares)


def test_hips_and_chest_are_where_they_are_wished_at_foot_down():
    turned = curves(Manner(hips_at_down=30.0, chest_open=20.0))
    assert turned["pelvis_yaw"](TIMES.down) == pytest.approx(30.0, abs=1.0)
    assert turned["chest_yaw"](TIMES.down) == pytest.approx(-8 - Manner().coil + 20, abs=1.0)
    turns = [float(turned["pelvis_yaw"](time)) for time in np.arange(TIMES.down, TIMES.contact, 0.005)]
    assert min(np.diff(turns)) > -0.2


def test_bent_arms_keep_the_hands_near_after_contact_alone():
    usual, bent = (curves(Manner(bent=near))["grip"] for near in (0.0, 0.2))
    assert usual(TIMES.contact + 0.065)[1] - bent(TIMES.contact + 0.065)[1] == pytest.approx(0.2, abs=0.01)
    assert bent(TIMES.start)[1] == pytest.approx(usual(TIMES.start)[1], abs=0.005)


def test_the_finish_is_where_it_is_wished():
    wish = Manner(finish_height=-0.25, finish_around=120.0, finish_out=0.3, finish_bat=210.0, finish_bat_up=-60.0)
    own = curves(wish)
    assert own["grip"](TIMES.finish) == pytest.approx([120.0, 0.3, -0.25], abs=0.5)
    assert own["bat"](TIMES.finish) == pytest.approx([210.0, -60.0], abs=0.5)


def test_a_foot_that_glides_is_low_before_it_lands():
    usual, gliding = (curves(Manner(glide=late, lift=0.2))["front_foot_y"](TIMES.down - 0.06) for late in (0.0, 0.05))
    assert gliding < 0.5 * usual


def test_who_leans_has_the_head_farther_ahead_all_along():
    usual, ahead = (curves(Manner(head_set=set_)) for set_ in (0.0, 0.2))
    for time in (TIMES.move, TIMES.load, TIMES.down, TIMES.contact, TIMES.finish):
        assert ahead["head_x"](time) - usual["head_x"](time) == pytest.approx(0.2, abs=1e-6)


@pytest.mark.slow
@pytest.mark.parametrize("leaning", [False, True])
def test_wide_poses_drawn_at_random_leave_the_swing_in_order(leaning):
    rng = np.random.default_rng(2)
    changed = []
    for number in range(300):
        down, start = rng.uniform(0.10, 0.42), rng.uniform(0.105, 0.30)
        timing = Timing(2.5, down, start, rng.uniform(0.12, 0.42), rng.uniform(0.3, 0.8))
        manner, timing = _own_way(replace(Manner(), base=float(rng.uniform(0.36, 0.85))), timing, rng)
        leans = np.random.default_rng(number) if leaning else None
        manner = _own_way_through(manner, timing, rng, leans)
        curves(manner, timing)  # raises where two keys stand at the same time
        assert manner.contact_hips > manner.hips_at_down
        changed.append(manner)
    for name, least, most in (
        ("bent", 0.5, 0.7),
        ("hips_at_down", 0.5, 0.7),
        ("head_set", 0.8 * leaning, 0.9 * leaning),
    ):
        share = np.mean([getattr(manner, name) != getattr(Manner(), name) for manner in changed])
        assert least <= share <= most
