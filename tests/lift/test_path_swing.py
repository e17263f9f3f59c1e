"""Swings whose bat and hands are planned first: what must be so of every hitter, and how wide they spread."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from analysis.read.lift import JOINTS
from tests.films.truth import Sampled, checkpoints_of, instants_of

from .marks import Marks
from .movers import SOLE
from .path_swing import PathSwing, path_swing
from .stick import stick_body

pytestmark = pytest.mark.slow
BODY = stick_body()
CONTACT = 1.75
SEEN, MANY = range(2), range(6)


@lru_cache(maxsize=64)
def swing_of(number: int) -> PathSwing:
    """One hitter, always the same."""
    return path_swing(BODY, np.random.default_rng(number), CONTACT)


@pytest.mark.parametrize("number", SEEN)
def test_the_same_seed_gives_the_same_swing(number: int) -> None:
    again = path_swing(BODY, np.random.default_rng(number), CONTACT)
    for time in (0.3, 1.4, CONTACT, 2.2):
        assert np.array_equal(swing_of(number).wish(time).grip, again.wish(time).grip)
    other = path_swing(BODY, np.random.default_rng(number + 1000), CONTACT)
    assert not np.allclose(swing_of(number).wish(CONTACT).grip, other.wish(CONTACT).grip, atol=1e-3)


@pytest.mark.parametrize("number", SEEN)
def test_feet_stand_hands_hold_and_instants_are_where_they_are_said_to_be(number: int) -> None:
    swing = swing_of(number)
    timing = swing.timings[0]
    times = np.arange(max(0.0, timing.move - 0.4), timing.finish + 0.3, 1 / 60)
    posed = [swing.skeleton.pose(swing.wish(float(time))) for time in times]
    assert max(p.miss for p in posed) < 0.005
    soles = [p.joints[f"{side}_{end}"][1] for p in posed for side in ("left", "right") for end in ("heel", "toe")]
    assert min(soles) > -0.01
    for p, time in zip(posed, times, strict=True):  # no leg is asked to be longer than it is
        wish = swing.wish(float(time))
        for side, name, foot in (("L", "left", wish.front_foot), ("R", "right", wish.rear_foot)):
            assert np.linalg.norm(p.joints[f"{name}_ankle"] - swing.skeleton.ankle_of(side, foot)) < 0.02
    marks, head = Marks(swing.body), swing.body.index("head")
    fine = np.arange(times[0], times[-1], 1 / 400)
    joints = CubicSpline(times, [marks.at(p.rotations, p.places) for p in posed])(fine) - [0, SOLE, 0]
    bats = CubicSpline(times, [np.stack([p.knob, p.barrel]) for p in posed])(fine)
    face = CubicSpline(times, [p.rotations[head] @ [0, 0, 1.0] for p in posed])(fine)
    sampled = Sampled(fine, {name: joints[:, k] for k, name in enumerate(JOINTS)}, bats[:, 0], bats[:, 1], face, 0.0)
    when = instants_of(sampled, timing)
    assert abs(when["foot_down"] - timing.down) < 0.04
    # Hands that wait are farthest back for a while: which moment of it counts is a matter of millimetres.
    back = (sampled.middle("wrist") - sampled.middle("hip"))[:, 0]
    assert back[sampled.at(timing.load)] - back[sampled.at(when["load"])] < 0.02
    assert abs(when["swing_start"] - timing.start) < 0.12
    assert abs(when["finish"] - timing.finish) < 0.05
    values = checkpoints_of(sampled, when, swing.body.height, swing.skeleton.upper["L"] + swing.skeleton.fore["L"])
    assert np.isfinite(list(values.values())).all()
    assert 0 < values["start_to_contact"] < 400


@pytest.mark.parametrize("number", MANY)
def test_nothing_jumps_and_nothing_is_quicker_than_people_are(number: int) -> None:
    swing = swing_of(number)
    times = np.arange(0.4, CONTACT + 0.8, 0.002)
    wishes = [swing.wish(float(time)) for time in times]

    def speeds(values: list[object]) -> np.ndarray:
        return np.abs(np.diff(np.array(values), axis=0)) / 0.002

    assert np.linalg.norm(speeds([w.grip for w in wishes]), axis=1).max() < 14
    assert np.linalg.norm(speeds([w.pelvis for w in wishes]), axis=1).max() < 3.5
    assert np.degrees(np.linalg.norm(speeds([w.bat for w in wishes]), axis=1)).max() < 3300
    for name, most in (("pelvis_yaw", 1300), ("chest_yaw", 1500), ("face_yaw", 1200)):
        assert speeds([getattr(w, name) for w in wishes]).max() < most, name
    timing = swing.timings[0]
    assert timing.move < timing.load < timing.down < CONTACT
    assert timing.load <= timing.start < CONTACT - 0.05
    assert 0.2 < timing.contact_to_finish < 0.8
    quiet = (times > timing.move - 0.1) & (times < timing.move)
    assert speeds([w.grip - w.pelvis for w in wishes])[quiet[1:]].max() < 0.6


def test_hitters_differ_widely() -> None:
    swings = [swing_of(number) for number in MANY]
    landed = [swing.wish(swing.timings[0].down).front_foot.yaw for swing in swings]
    assert np.std(landed) > 12
    for name, least in (("start_to_contact", 0.015), ("down_to_contact", 0.03)):
        assert np.std([getattr(swing.timings[0], name) for swing in swings]) > least, name
    bats = [np.degrees(np.arcsin(swing.wish(swing.timings[0].down).bat[1])) for swing in swings]
    assert np.std(bats) > 12
    assert len({swing.stride for swing in swings}) >= 2
    assert len({swing.style for swing in swings}) >= 2
    assert len({swing.rear_kind for swing in swings}) >= 2
