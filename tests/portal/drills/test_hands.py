"""A fault that both hands can have, filmed and read: a left-handed hitter, the mirror image of a right-handed one, misses the band on
the same side, and is drafted the same sentence and the same first drill. What is ahead, inside and open turns round with the hand.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from analysis.read import read
from analysis.tracks import KEYPOINTS as K
from portal.drills.fitting import SIDES, best_first
from portal.drills.library import shipped
from portal.drills.models import Drill
from portal.measuring.door import checkpoint, missed
from tests.analysis.read.motion import Film, film_swing

HANDS = ("right", "left")
DRILLS = [Drill(**entry) for entry in shipped()]
FOOT = ("left_heel", "left_toe")
LEG = ("left_knee", "left_ankle", *FOOT)
HANDS_AND_BAT = ("left_wrist", "right_wrist", "left_index", "right_index", "knob", "barrel")
HEAD = ("nose", "left_ear", "right_ear", "left_eye", "right_eye")
HIPS, SHOULDERS = ("left_hip", "right_hip"), ("left_shoulder", "right_shoulder")
PELVIS = (*HIPS, "left_knee", "right_knee")
UPPER_BODY = (*SHOULDERS, *HEAD, *HANDS_AND_BAT, "left_elbow", "right_elbow")


def shifted(*names, ahead):
    """These joints so many metres toward the pitcher."""
    return lambda joints: {
        name: at + np.array([ahead, 0.0, 0.0]) if name in names else at for name, at in joints.items()
    }


def opened(names, about, degrees):
    """These joints turned toward the pitcher, seen from above, round the middle of others."""
    turn = np.radians(degrees)
    turning = np.array([[np.cos(turn), 0, -np.sin(turn)], [0, 1, 0], [np.sin(turn), 0, np.cos(turn)]])

    def move(joints):
        middle = sum(joints[name] for name in about) / len(about)
        return {name: (at - middle) @ turning + middle if name in names else at for name, at in joints.items()}

    return move


def leaned(names, about, degrees):
    """These joints leaned toward the pitcher round the middle of others; told too small where no plate shows the line, so they lean far."""
    turn = np.radians(degrees)
    leaning = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])

    def move(joints):
        middle = sum(joints[name] for name in about) / len(about)
        return {name: (at - middle) @ leaning + middle if name in names else at for name, at in joints.items()}

    return move


def raised(degrees):
    """The barrel so much higher over the knob."""

    def move(joints):
        bat = joints["barrel"] - joints["knob"]
        flat = np.linalg.norm(bat[:, [0, 2]], axis=1)
        rise = np.arctan2(bat[:, 1], flat) + np.radians(degrees)
        length = np.linalg.norm(bat, axis=1)
        wide = bat * (length * np.cos(rise) / flat)[:, None]
        wide[:, 1] = length * np.sin(rise)
        return {**joints, "barrel": joints["knob"] + wide}

    return move


# checkpoint: view, what a camp wants at least or at most, a fault that falls short of the one, a fault that goes beyond the other; as a
# right-handed hitter does it (left is front)
FAULTS = {
    "down_stride_length": ("chest_side", (25, 40), shifted(*LEG, ahead=-0.3), shifted(*LEG, ahead=0.3)),
    "down_front_knee_inside": ("chest_side", (8, 12), shifted("left_knee", ahead=0.16), shifted("left_knee", ahead=-0.16)),
    "down_head_centre": ("chest_side", (-1, 1), leaned(UPPER_BODY, HIPS, -32), leaned(UPPER_BODY, HIPS, 32)),
    "down_hips_square": ("catcher_side", (3, 10), opened(PELVIS, HIPS, -50), opened(PELVIS, HIPS, 50)),
    "down_shoulders_square": ("catcher_side", (-18, -4), opened(UPPER_BODY, SHOULDERS, -50), opened(UPPER_BODY, SHOULDERS, 50)),
    "down_foot_opening": ("chest_side", (26, 17), opened(FOOT, ("left_ankle",), -50), opened(FOOT, ("left_ankle",), 50)),
    "down_bat_angle": ("chest_side", (25, 40), raised(-40), raised(25)),
}  # fmt: skip


@lru_cache
def reading(name, side, hand):
    """What is read of a hitter with this fault."""
    view, (at_least, at_most), too_little, too_much = FAULTS[name]
    fault, band = (too_little, (at_least, None)) if side == "low" else (too_much, (None, at_most))
    tracks = film_swing(Film(view=view, hand=hand, noise_px=0.5), fault)
    result = read(tracks, bands={name: band}).to_json()
    assert (result["film"]["hand"], result["film"]["view"]) == (hand, view)
    return next(one for one in result["swings"][0]["readings"] if one["checkpoint"] == name)


@pytest.mark.parametrize("hand", HANDS)
@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_missed_on_its_side_and_said_and_trained_for_it(name, side, hand):
    found, entry = reading(name, side, hand), checkpoint(name)
    assert missed(found) == side, (found["value"], found["interval"])
    other = next(one for one in SIDES if one != side)
    assert entry.words_for(missed(found)) == entry.words_for(side) != entry.words_for(other)
    drill = best_first(DRILLS, name, missed(found))[0]
    assert drill.against[name] in (side, "both")


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("name", FAULTS)
def test_both_hands_are_read_alike(name, side):
    right, left = (reading(name, side, hand) for hand in HANDS)
    apart = abs(right["value"] - left["value"])
    assert apart < 0.1 * (right["interval"][1] - right["interval"][0])  # two films with noise of their own


@pytest.mark.parametrize("view", ["chest_side", "catcher_side"])
def test_the_left_handed_film_is_the_mirror_image(view):
    """What the tests above stand on: the picture turned round, left and right exchanged."""
    right, left = (film_swing(Film(view=view, hand=hand), opened(UPPER_BODY, SHOULDERS, 50)) for hand in HANDS)
    exchanged = {"left": "right", "right": "left"}
    for name, at in K.items():
        end, _, rest = name.partition("_")
        twin = K[f"{exchanged[end]}_{rest}" if end in exchanged else name]
        turned_round = np.stack([right.clip["width"] - right.keypoints_px[:, at, 0], right.keypoints_px[:, at, 1]], 1)
        assert np.allclose(left.keypoints_px[:, twin], turned_round, atol=0.01, equal_nan=True)
