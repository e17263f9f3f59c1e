"""Swings as a sequence of turning segments: what must be so of every one of them, and that they differ."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from tests.lift.sequence_swing import Sequence, sequence_swing
from tests.lift.stick import stick_body
from tests.lift.truths import truth_of

pytestmark = pytest.mark.slow
BODY = stick_body()
CONTACT = 1.75
SOME = range(4)


@lru_cache
def hitter(number: int) -> Sequence:
    """One of a few hitters of one body."""
    return sequence_swing(BODY, np.random.default_rng([11, number]), CONTACT)


def test_the_same_seed_swings_alike_and_another_one_does_not() -> None:
    again = sequence_swing(BODY, np.random.default_rng([11, 0]), CONTACT)
    other = sequence_swing(BODY, np.random.default_rng([11, 1]), CONTACT)
    assert np.array_equal(again.table, hitter(0).table)
    assert np.abs(other.table - again.table).max() > 0.05


@pytest.mark.parametrize("number", SOME)
def test_hands_stay_on_the_bat_where_the_arms_put_them(number: int) -> None:
    swing = hitter(number)
    for time in np.linspace(0.0, CONTACT + 1.2, 16):
        wish = swing.wish(float(time))
        posed = swing.skeleton.pose(wish)
        grip = posed.knob + wish.bat * (swing.skeleton.first_hand + swing.skeleton.hand_gap / 2)
        assert posed.miss < 0.005
        # Drawn in by the skeleton, a grip would jump from moment to moment.
        assert np.linalg.norm(grip - wish.grip) < 0.03 * swing.size


@pytest.mark.parametrize("number", SOME)
def test_feet_stand_on_the_ground_and_legs_reach_them(number: int) -> None:
    swing = hitter(number)
    down = swing.timings[0].down
    for time in np.linspace(0.2, CONTACT + 1.0, 16):
        joints = swing.skeleton.pose(swing.wish(float(time))).joints
        for side, long in (("left", "L"), ("right", "R")):
            assert min(joints[f"{side}_toe"][1], joints[f"{side}_heel"][1]) > -0.01
            shin = np.linalg.norm(joints[f"{side}_ankle"] - joints[f"{side}_knee"])
            assert shin == pytest.approx(swing.skeleton.shank[long], abs=0.012)
    rows = slice(swing._at(down + 0.06), swing._at(CONTACT))
    assert np.ptp(swing.front[rows], axis=0).max() < 0.02
    assert np.ptp(swing.rear[: swing._at(swing.move)], axis=0).max() < 1e-6


@pytest.mark.parametrize("number", SOME)
def test_nothing_turns_faster_than_people_do_nor_jumps(number: int) -> None:
    swing = hitter(number)
    for name, most in (
        ("pelvis_yaw", 1100),
        ("chest_yaw", 1400),
        ("bat_yaw", 3600),
        ("face_yaw", 900),
        ("bend", 1800),
        ("rear_yaw", 1000),
    ):
        assert np.abs(np.gradient(swing.v[name], 1e-3)).max() < most, name
    pace = np.linalg.norm(np.gradient(swing.grip, 1e-3, axis=0), axis=1)
    assert pace.max() < 13
    # Velocities of the hands change by no more than 1500 m/s2 of acceleration lets them.
    assert np.abs(np.diff(pace)).max() < 1.5


@pytest.mark.parametrize("number", [0])
def test_the_truth_is_told_and_is_near_the_swings_own_times(number: int) -> None:
    swing = hitter(number)
    truth = truth_of(swing, 0.0, CONTACT + 1.0)
    assert truth is not None
    assert len(truth["instants"]) == 7
    assert len(truth["checkpoints"]) > 25
    own = swing.timings[0]
    for name, time in (("foot_down", own.down), ("swing_start", own.start), ("finish", own.finish)):
        assert truth["instants"][name] == pytest.approx(time, abs=0.03), name
    assert truth["instants"]["load"] == pytest.approx(own.load, abs=0.12)


def test_hitters_differ() -> None:
    several = [hitter(number) for number in SOME]
    contact = several[0]._at(CONTACT)
    assert np.ptp([swing.v["chest_yaw"][contact] for swing in several]) > 15
    assert np.ptp([swing.v["bat_up"][0] for swing in several]) > 15
    assert np.ptp([swing.timings[0].start_to_contact for swing in several]) > 0.03
    assert np.ptp([swing.timings[0].contact_to_finish for swing in several]) > 0.05
