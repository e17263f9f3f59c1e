"""When a foot is down, on paths laid out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from tests.films.truth import PULLED_S, Sampled, _foot_down

CONTACT = 1.0
TIME = np.arange(0.0, 1.1, 1 / 500)


def landed(height: np.ndarray, ahead: np.ndarray) -> float:
    """When a foot is down whose sole is at heights [N] and has gone so far ahead [N], metres."""
    toe = np.stack([ahead + 0.2, height, np.zeros_like(height)], axis=1)
    joints = {"left_toe": toe, "left_heel": toe - [0.2, 0.0, 0.0]}
    nothing = np.zeros((len(TIME), 3))
    return _foot_down(Sampled(TIME, joints, nothing, nothing, nothing, 0.0), CONTACT)


def stepped(down: float) -> tuple[np.ndarray, np.ndarray]:
    """A step that ends on the ground at a time."""
    return np.clip(down - TIME, 0.0, 0.1), np.clip((TIME - down) * 2.0, -0.5, 0.0)


@pytest.mark.parametrize("down", [0.7, 0.85, 0.92])
def test_a_foot_is_down_when_it_has_landed(down):
    assert landed(*stepped(down)) == pytest.approx(down, abs=0.006)


@pytest.mark.parametrize(("pulled", "since"), [(0.015, 0.06), (0.008, 0.02), (0.025, 0.09)])
def test_a_foot_that_the_turning_body_pulls_up_a_little_has_landed_before(pulled, since):
    height, ahead = stepped(0.7)
    height += np.interp(TIME, [CONTACT - since, CONTACT], [0.0, pulled])
    assert landed(height, ahead) == pytest.approx(0.7, abs=0.006)


def test_a_foot_that_steps_once_more_lands_then():
    height, ahead = stepped(0.5)
    height += 0.08 * np.exp(-(((TIME - 0.7) / 0.05) ** 2))
    assert 0.72 < landed(height, ahead) < 0.85


def test_a_foot_that_is_in_the_air_at_contact_is_not_down_before():
    height, ahead = stepped(0.6)
    height += np.interp(TIME, [CONTACT - PULLED_S, CONTACT], [0.0, 0.08])
    assert landed(height, ahead) == pytest.approx(CONTACT, abs=0.01)
