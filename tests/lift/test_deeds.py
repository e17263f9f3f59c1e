"""Deeds that are no swing: the same every time, human in speed, on the ground, and never a bat that sweeps through."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.read.lift import JOINTS
from tests.lift.deed_body import Deed
from tests.lift.deeds import DEEDS, deed_named, deed_of
from tests.lift.marks import Marks
from tests.lift.stick import stick_body

BODY = stick_body()
MARKS = Marks(BODY)
STEP = 0.04  # seconds
TIMES = np.arange(0.08, 3.2, STEP)
FEET = [JOINTS.index(f"{side}_{part}") for side in ("left", "right") for part in ("heel", "toe")]
HANDS = [JOINTS.index(f"{side}_wrist") for side in ("left", "right")]


def _seen(deed: Deed) -> tuple[np.ndarray, np.ndarray]:
    """Joints [F, J, 3] and the bat's two ends [F, 2, 3], not-a-number where there is none."""
    joints, bats = [], []
    for time in TIMES:
        moment = deed.moment(time)
        joints.append(MARKS.at(moment.rotations, moment.places))
        bats.append(np.full((2, 3), np.nan) if moment.bat is None else np.stack(moment.bat))
    return np.array(joints), np.array(bats)


def test_the_same_seed_tells_the_same_deed():
    for seed in range(4):
        (name, one), (again, other) = (deed_of(BODY, np.random.default_rng(seed)) for _ in range(2))
        assert name == again
        assert one.moment(1.1).places == pytest.approx(other.moment(1.1).places, abs=1e-9)
        assert one.moment(1.1).rotations == pytest.approx(other.moment(1.1).rotations, abs=1e-9)


def test_every_deed_occurs():
    rng = np.random.default_rng(0)
    drawn = {DEEDS[rng.integers(len(DEEDS))] for _ in range(600)}
    assert drawn == set(DEEDS)
    assert len(DEEDS) == 40


def test_no_two_players_do_a_deed_alike():
    one, other = (deed_named("take", BODY, np.random.default_rng(seed)) for seed in (1, 2))
    assert np.abs(one.moment(1.2).places - other.moment(1.2).places).max() > 0.05


@pytest.mark.slow
@pytest.mark.parametrize("name", DEEDS)
def test_deeds_are_human_and_no_swing(name: str):
    deed = deed_named(name, BODY, np.random.default_rng(sum(map(ord, name))))
    joints, bats = _seen(deed)
    assert np.isfinite(joints).all()
    assert joints[:, FEET, 1].min() > -0.02, "a foot is in the ground"
    speeds = np.linalg.norm(np.diff(joints, axis=0), axis=-1) / STEP
    trunk = [k for k, joint in enumerate(JOINTS) if "shoulder" in joint or "hip" in joint]
    assert speeds.max() < 22
    assert speeds[:, trunk].max() < 6.5
    if deed.bat is None:
        assert np.isnan(bats).all()
        return
    assert np.linalg.norm(bats[:, 1] - bats[:, 0], axis=-1) == pytest.approx(deed.bat_length)
    assert (np.linalg.norm(np.diff(bats, axis=0), axis=-1) / STEP).max() < 30
    assert bats[..., 1].min() > -0.05, "the bat is in the ground"
    along = (bats[:, 1] - bats[:, 0]) / deed.bat_length
    held = {"both": HANDS, "wide": HANDS, "left": HANDS[:1], "right": HANDS[1:]}[deed.bat]
    for hand in held:
        off = joints[:, hand] - bats[:, 0]
        off -= (off * along).sum(axis=-1, keepdims=True) * along
        assert np.linalg.norm(off, axis=-1).max() < 0.14, "a hand is off the bat"


def _sweep(bats: np.ndarray, heading: np.ndarray) -> float:
    """The barrel's largest speed, m/s, while it points from a little before straight over the plate to the pitcher, below the shoulders."""
    along = (bats[:, 1] - bats[:, 0]) @ heading
    azimuth = np.degrees(np.arctan2(along[:, 0], along[:, 2]))
    level = np.abs(along[:, 1]) < 0.7 * np.linalg.norm(along, axis=-1)
    speed = np.linalg.norm(np.gradient(bats[:, 1], STEP, axis=0), axis=-1)
    return float(np.where((azimuth > -20) & (azimuth < 80) & level & (bats[:, 1, 1] < 1.3), speed, 0.0).max())


@pytest.mark.slow
@pytest.mark.parametrize(
    "name", ["take", "pump", "waggle", "checked_swing", "slow_turn", "dodge", "bunt", "drag_bunt", "tap_plate"]
)
def test_a_bat_in_both_hands_never_sweeps_past_its_halfway(name: str):
    for seed in range(2):
        deed = deed_named(name, BODY, np.random.default_rng(seed))
        assert _sweep(_seen(deed)[1], deed.heading) < 6.0
