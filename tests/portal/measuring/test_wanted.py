"""The wanted position: made from the reading, laid over the keypoints that the film shows, for both hands."""

from __future__ import annotations

import copy
from functools import lru_cache

import numpy as np
import pytest

from analysis.read import read
from analysis.tracks import KEYPOINTS as K
from portal.measuring.wanted import BUILT, NoneWanted, wanted_position
from tests.analysis.read.motion import Film, film_swing

FRONT = {"right": "left", "left": "right"}


@lru_cache
def filmed(hand, view="chest_side"):
    tracks = film_swing(Film(hand=hand, view=view))
    return tracks, read(tracks).to_json()["swings"][0]


def lacking(swing, checkpoint, by, value=30.0):
    """The swing as if this had been read at `value`, and `by` more were wanted."""
    swing = copy.deepcopy(swing)
    reading = next(one for one in swing["readings"] if one["checkpoint"] == checkpoint)
    edge = value + by
    reading.update(value=value, interval=[value - 3, value + 3], band=[edge, None] if by > 0 else [None, edge])
    return swing


def wanted(hand, checkpoint, by, view="chest_side", corrections=None):
    tracks, swing = filmed(hand, view)
    return wanted_position(tracks, corrections or {}, lacking(swing, checkpoint, by), checkpoint)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("checkpoint", [name for name in BUILT if name != "down_bat_angle"])
def test_a_body_that_lacks_next_to_nothing_is_drawn_where_it_is(hand, checkpoint):
    tracks, _swing = filmed(hand)
    found = wanted(hand, checkpoint, 0.01)
    end, part = ("rear", "hip") if "rear" in checkpoint else ("front", "hip")
    side = FRONT[hand] if end == "front" else hand
    names = {"knee": [f"{side}_hip", f"{side}_knee", f"{side}_ankle"], "foot": [f"{side}_heel", f"{side}_toe"]}
    if "knee" in checkpoint:
        expected = names["knee"]
    elif "foot" in checkpoint:
        expected = names["foot"]
    else:
        part = "shoulder" if "shoulders" in checkpoint else "hip"
        expected = [f"{hand}_{part}", f"{FRONT[hand]}_{part}"]
    seen = tracks.keypoints_px[found.frame][[K[name] for name in expected]]
    assert np.abs(np.subtract(found.points, seen)).max() < 1.0


@pytest.mark.parametrize("hand", ["right", "left"])
def test_more_bend_lowers_the_hip_and_leaves_the_foot_where_it_stands(hand):
    straight, bent = wanted(hand, "down_front_knee", -20), wanted(hand, "down_front_knee", 30)
    assert bent.points[0][1] > straight.points[0][1] + 10
    assert bent.points[2] == straight.points[2]
    assert (straight.edge, bent.edge, bent.unit) == (10, 60, "°")


@pytest.mark.parametrize("checkpoint", BUILT)
def test_for_a_left_handed_hitter_it_is_the_mirror_image(checkpoint):
    width = filmed("right")[0].clip["width"]
    right, left = (wanted(hand, checkpoint, 15) for hand in ("right", "left"))
    mirrored = [(width - x, y) for x, y in left.points]
    assert np.abs(np.subtract(mirrored, right.points)).max() < 25  # two films, each read by itself


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_foot_that_opens_points_more_to_the_pitcher(hand):
    """From the chest side the line runs across the picture: an open foot is long in it, a closed one short."""
    closed, opened = wanted(hand, "down_foot_opening", -25), wanted(hand, "down_foot_opening", 40)
    across = [abs(found.points[1][0] - found.points[0][0]) for found in (closed, opened)]
    assert across[1] > across[0] + 5
    assert closed.points[0] == opened.points[0]  # the heel stays


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_bat_tips_about_its_knob(hand):
    flat, steep = wanted(hand, "down_bat_angle", -30), wanted(hand, "down_bat_angle", 20)
    assert flat.points[0] == steep.points[0]
    assert flat.points[1][1] > steep.points[1][1] + 10


def test_what_the_coach_put_in_place_is_what_the_ghost_hangs_on():
    frame = filmed("right")[1]["instants"]["foot_down"]["frame"]
    moved = {"keypoints": [{"frame": frame, "keypoint": K["left_ankle"], "x": 600.0, "y": 500.0}]}
    assert wanted("right", "down_front_knee", 10, corrections=moved).points[2] == (600.0, 500.0)


def test_it_is_honest():
    tracks, swing = filmed("right")
    knee = next(one for one in swing["readings"] if one["checkpoint"] == "down_front_knee")
    knee = {**knee, "value": None, "interval": None, "reason": "Too far away."}
    unread = {**swing, "readings": [knee]}
    with pytest.raises(NoneWanted, match=r"Nothing was read here.*Too far away"):
        wanted_position(tracks, {}, unread, "down_front_knee")
    inside = lacking(swing, "down_front_knee", 5)
    next(one for one in inside["readings"] if one["checkpoint"] == "down_front_knee")["band"] = [15.0, 50.0]
    with pytest.raises(NoneWanted, match="in range already"):
        wanted_position(tracks, {}, inside, "down_front_knee")
    with pytest.raises(NoneWanted, match="no wanted position to draw"):
        wanted_position(tracks, {}, swing, "contact_palms")


def test_a_part_that_was_not_seen_has_no_ghost():
    tracks, swing = filmed("right")
    tracks = copy.deepcopy(tracks)
    tracks.keypoints_px[swing["instants"]["foot_down"]["frame"], K["left_toe"]] = np.nan
    with pytest.raises(NoneWanted, match="not seen on that frame"):
        wanted_position(tracks, {}, lacking(swing, "down_foot_opening", -10), "down_foot_opening")
