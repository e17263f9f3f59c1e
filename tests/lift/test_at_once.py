"""A swing posed at many times at once is the swing posed moment by moment, and its instants are the same."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from analysis.read.lift import JOINTS
from tests.films.body import Body
from tests.films.truth import Sampled, instants_of
from tests.lift.acts import Waggled
from tests.lift.at_once import joints_and_bat
from tests.lift.errors import Errors, start_of, stretched
from tests.lift.flail_swing import flail_swing
from tests.lift.marks import Marks
from tests.lift.movers import SOLE, Swing, swing_of
from tests.lift.path_swing import path_swing
from tests.lift.sequence_swing import sequence_swing
from tests.lift.stick import stick_body
from tests.lift.truths import instants_by_mover

BODY = stick_body()
pytestmark = pytest.mark.slow


def swing(number: int, kind: type[Swing] = Swing) -> Swing:
    """A swing with a landing and habits of its own."""
    own, landing, habits = (np.random.default_rng([part, number]) for part in range(3))
    made = swing_of(BODY, own, 1.75, 1.0, tempo=True, kind=kind, landing=landing, habits=habits)
    if isinstance(made, Waggled):
        made.size, made.way = 1.0, np.array([0.08, 0.03, 0.04])
    return made


@pytest.mark.parametrize("by", [sequence_swing, path_swing, flail_swing])
def test_so_are_swings_that_go_by_no_key_poses(by: Callable[[Body, np.random.Generator, float], Swing]) -> None:
    mover, marks = by(BODY, np.random.default_rng(3), 1.75), Marks(BODY)
    times = np.arange(0.2, 2.5, 0.1)
    joints, bat = joints_and_bat(mover, marks, times)
    moments = [mover.moment(float(time)) for time in times]
    one_by_one = np.array([marks.at(moment.rotations, moment.places) for moment in moments])
    assert np.linalg.norm(joints - one_by_one, axis=2).max() < 0.01
    assert np.abs(bat - np.array([moment.bat for moment in moments])).max() < 0.01
    told = instants_by_mover(mover)
    assert told is not None
    assert told["swing_start"] < told["contact"] < told["extension"] < told["finish"]


@pytest.mark.parametrize("kind", [Swing, Waggled])
@pytest.mark.parametrize("number", range(4))
def test_all_moments_at_once_are_the_moments_one_by_one(number: int, kind: type[Swing]) -> None:
    mover, marks = swing(number, kind), Marks(BODY)
    times = np.arange(0.2, 2.5, 0.05)
    joints, bat = joints_and_bat(mover, marks, times)
    moments = [mover.moment(float(time)) for time in times]
    one_by_one = np.array([marks.at(moment.rotations, moment.places) for moment in moments])
    off = np.linalg.norm(joints - one_by_one, axis=2)
    # Each ends within a tenth of a millimetre of where the head is wished, and a straight limb makes more of that.
    assert np.median(off) < 1e-4
    assert np.quantile(off, 0.99) < 2e-3
    bats = np.array([np.stack(moment.bat) for moment in moments if moment.bat is not None])
    assert np.abs(bat - bats).max() < 5e-4
    # What is compared does move: hands go by more than a quarter of a metre.
    assert np.ptp(joints[:, JOINTS.index("left_wrist")], axis=0).max() > 0.25


@pytest.mark.slow
def test_instants_are_those_of_the_swing_looked_at_closely() -> None:
    mover, marks = swing(1), Marks(BODY)
    told = instants_by_mover(mover)
    assert told is not None
    times = np.arange(mover.timings[0].move - 0.4, mover.timings[0].finish + 0.3, 1 / 250)
    moments = [mover.moment(float(time)) for time in times]
    joints = np.array([marks.at(moment.rotations, moment.places) for moment in moments]) - [0, SOLE, 0]
    bats = np.array([np.stack(moment.bat) for moment in moments if moment.bat is not None])
    names = {name: joints[:, k] for k, name in enumerate(JOINTS)}
    close = instants_of(Sampled(times, names, bats[:, 0], bats[:, 1], np.zeros((len(times), 3)), 0.0), mover.timings[0])
    for name, time in close.items():
        assert told[name] == pytest.approx(time, abs=0.012), name


def test_errors_of_a_swing_run_so_that_both_meet_the_ball_together() -> None:
    rows = np.arange(60.0)[:, None]
    errors = Errors(90.0, 1 / 60, 0.5, rows, rows, rows)
    rng = np.random.default_rng(3)
    times = np.arange(90) / 60
    at_contact = []
    for _ in range(200):
        run = stretched(rows, errors.step, times, start_of(errors, 0.8, rng))[:, 0]
        at_contact.append(run[48])
    # Row 30 is the errors' own contact, 0.5 s; three deviations of 0.02 s either way.
    near = np.abs(np.array(at_contact) - 30) < 4
    assert 0.75 < near.mean() < 0.92
    without = replace(errors, contact=float("nan"))
    anywhere = [stretched(rows, 1 / 60, times, start_of(without, 0.8, rng))[48, 0] for _ in range(200)]
    assert np.ptp(anywhere) > 50
