"""Swings by physics: what must be so whatever the hitter, and that hitters differ."""

from __future__ import annotations

import numpy as np
import pytest

from tests.lift.flail import flight, settle
from tests.lift.flail_swing import FlailSwing, flail_swing
from tests.lift.stick import stick_body
from tests.lift.truths import instants_by_mover

CONTACT = 1.75
BODY = stick_body()
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def swings() -> list[FlailSwing]:
    """Eight hitters."""
    return [flail_swing(BODY, np.random.default_rng(k), CONTACT) for k in range(8)]


def test_a_spring_ends_where_it_is_pulled() -> None:
    times = np.arange(0, 4, 0.01)
    way = settle(times, 1.0, [(1.0, 3.0, 1.5, 0.9), (2.0, -1.0, 2.0, 0.9)])
    assert np.all(way[times < 1] == 1.0)
    assert way[-1] == pytest.approx(-1.0, abs=1e-3)
    assert np.abs(np.diff(way, 2)).max() < 0.08  # no jump in place or speed


def test_a_foot_lands_and_stands() -> None:
    path, touch = flight(np.zeros(3), np.array([0.3, 0.0, 0.1]), 0.1, 0.2, 2.0, 5.0)
    assert path[:touch, 1].max() > 0.04
    assert np.all(path[touch:, 1] == 0)
    assert np.linalg.norm(path[-1] - path[-2]) < 1e-5


def test_the_same_seed_is_the_same_swing() -> None:
    first, second = (flail_swing(BODY, np.random.default_rng(5), CONTACT) for _ in range(2))
    assert np.array_equal(first.table, second.table)


def test_hands_and_feet_are_where_a_hitters_are(swings: list[FlailSwing]) -> None:
    for swing in swings:
        for time in np.linspace(0, CONTACT + 1.2, 12):
            posed = swing.skeleton.pose(swing.wish(float(time)))
            assert posed.miss < 0.005
            assert (
                min(posed.joints[f"{side}_{end}"][1] for side in ("left", "right") for end in ("heel", "toe")) > -0.01
            )


def test_the_bat_is_across_the_line_at_contact(swings: list[FlailSwing]) -> None:
    for swing in swings:
        bat = swing.wish(CONTACT).bat
        assert abs(np.degrees(np.arctan2(bat[0], bat[2]))) < 45
        assert swing.wish(CONTACT - 0.05).bat[0] < bat[0] < swing.wish(CONTACT + 0.03).bat[0]


def test_nothing_jumps(swings: list[FlailSwing]) -> None:
    for swing in swings:
        times = np.arange(0, CONTACT + 1.2, 1 / 200)
        wishes = [swing.wish(float(time)) for time in times]
        for name, most in (("pelvis_yaw", 1100), ("chest_yaw", 1700), ("face_yaw", 1200)):
            assert np.abs(np.diff([getattr(wish, name) for wish in wishes])).max() * 200 < most
        grips = np.array([wish.grip for wish in wishes])
        assert np.linalg.norm(np.diff(grips, axis=0), axis=1).max() * 200 < 14


def test_the_instants_are_those_of_the_motion(swings: list[FlailSwing]) -> None:
    told = [(swing, instants_by_mover(swing)) for swing in swings[:4]]
    for swing, when in told:
        assert when is not None
        timing = swing.timings[0]
        assert when["foot_down"] == pytest.approx(timing.down, abs=0.03)
        assert when["finish"] == pytest.approx(timing.finish, abs=0.03)
        assert when["set_up"] < when["load"] < when["contact"] < when["finish"]


def test_hitters_differ() -> None:
    many = [flail_swing(BODY, np.random.default_rng(100 + k), CONTACT) for k in range(30)]
    assert len({swing.kind for swing in many}) >= 4
    assert np.ptp([swing.timings[0].start_to_contact for swing in many]) > 0.08
    assert np.ptp([swing.timings[0].down_to_contact for swing in many]) > 0.1
    assert np.ptp([swing.wish(CONTACT).pelvis_yaw for swing in many]) > 25
    assert np.ptp([swing.wish(CONTACT + 0.5).grip[1] for swing in many]) > 0.3
