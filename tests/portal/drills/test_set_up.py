"""The set-up of a drill: defaults, faults, words."""

import pytest

from portal.drills.set_up import DEFAULTS, SetUpFault, completed, how_often, in_words


def test_what_is_missing_is_the_default():
    assert completed({"rounds": 5}) == {**DEFAULTS, "rounds": 5}
    assert completed(None) == DEFAULTS


def test_every_fault_is_named_at_once():
    with pytest.raises(SetUpFault) as fault:
        completed({"ball": "cannon", "rounds": 0, "tee": 3, "days": True})
    message = str(fault.value)
    assert "ball must be one of 'none', 'tee'" in message
    assert "rounds must be a whole number from 1 to 10, got 0" in message
    assert "there is no 'tee' in a set-up" in message
    assert "days must be" in message


def test_a_set_up_reads_like_a_sentence():
    words = dict(in_words({"tee_height": "belt", "tee_across": "outside", "tee_depth": "deep", "flies": "opposite"}))
    assert words["Tee"] == "at your belt, on the far side of the plate, over the middle of the plate"
    assert words["Ball flies"] == "on a line to the far side of the field"


def test_without_a_ball_nobody_speaks_of_tee_or_flight():
    assert [what for what, _words in in_words({"ball": "none"})] == ["Ball", "Front foot", "How often"]


def test_one_is_said_as_one():
    assert how_often({"rounds": 1, "swings": 8, "days": 1}) == "1 round of 8, on 1 day this week"
