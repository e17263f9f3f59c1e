"""Every drill says how to stay safe, by how its ball comes."""

import pytest

from portal.drills.cautions import cautions
from portal.drills.set_up import BALL


@pytest.mark.parametrize("ball", BALL)
def test_look_around_comes_first_and_stop_at_pain_last(ball):
    told = cautions(ball, ["Mind the cones."])
    assert told[0].startswith("Look all around")
    assert told[-1].startswith("Stop if anything hurts")
    assert "Mind the cones." in told


@pytest.mark.parametrize("ball", ["soft_toss", "front_toss"])
def test_a_tossed_ball_asks_for_a_helmet(ball):
    assert any("Helmet" in caution for caution in cautions(ball))


def test_a_tee_asks_for_a_sound_net_and_a_grown_up():
    told = " ".join(cautions("tee"))
    assert "net and tee are sound" in told
    assert "grown-up near" in told
