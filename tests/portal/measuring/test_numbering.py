"""What a coach said of one swing stays with it when the reading comes to find others."""

import pytest

from analysis.read import read
from portal.measuring.numbering import renumbered, stands
from tests.analysis.read.motion import Film, Swing, film_swing


def swing(index, start, end):
    return {"index": index, "start_frame": start, "end_frame": end}


EARLY, LATE, NEW = (10, 60), (200, 260), (100, 150)


def found(*spans):
    return [swing(n, *span) for n, span in enumerate(spans)]


def reader(by_hand):
    """The swings that are found with each hand; what is said of single swings must not be asked about."""

    def swings(corrections):
        assert not {"instants", "remove_swings", "add_swings"} & set(corrections)
        return by_hand[corrections.get("hand", "right")]

    return swings


def test_a_swing_found_between_two_others_moves_the_later_one_on():
    wanted = {"hand": "left", "remove_swings": [1], "instants": {"0": {"load": 20}, "1": {"load": 220}}}
    read_some = reader({"right": found(EARLY, LATE), "left": found(EARLY, NEW, LATE)})
    carried, moved = renumbered({"remove_swings": [1]}, wanted, read_some)
    assert moved == {1: 2}
    assert carried == {"hand": "left", "remove_swings": [2], "instants": {"0": {"load": 20}, "2": {"load": 220}}}
    assert wanted["remove_swings"] == [1]  # what was given is left as it was


def test_a_swing_that_is_found_no_longer_takes_along_what_was_said_of_it():
    wanted = {"hand": "left", "remove_swings": [0], "instants": {"0": {"load": 20}, "1": {"load": 220}}}
    carried, moved = renumbered({}, wanted, reader({"right": found(EARLY, LATE), "left": found(LATE)}))
    assert moved == {1: 0}
    assert (carried["remove_swings"], carried["instants"]) == ([], {"0": {"load": 220}})


def test_added_swings_are_counted_on_behind_those_that_are_found():
    wanted = {"hand": "left", "instants": {"3": {"load": 220}}, "add_swings": [{"start_frame": 1, "end_frame": 5}] * 2}
    carried, moved = renumbered({}, wanted, reader({"right": found(EARLY, LATE), "left": found(LATE)}))
    assert moved == {1: 0, 2: 1, 3: 2}
    assert carried["instants"] == {"2": {"load": 220}}


@pytest.mark.parametrize(
    ("wanted", "now", "same"),
    [
        ({"remove_swings": [0]}, found(EARLY, LATE)[1:], True),
        ({"view": "back_side"}, found((12, 61), LATE), True),
        ({"hand": "left"}, found(EARLY, NEW, LATE), False),
        ({"hand": "left"}, found(EARLY, NEW), False),
    ],
)
def test_numbers_stand_while_each_means_the_same_frames(wanted, now, same):
    assert stands({}, found(EARLY, LATE), wanted, now) is same


def test_in_a_real_reading_a_swing_that_a_slower_speed_makes_one_with_another_is_out_no_more():
    """Read as five times slowed down, these two swings are found as one: the second's being taken out goes with it."""
    tracks = film_swing(Film(noise_px=0.7, swings=(Swing(arms_return=1.9), Swing(arms_return=1.9))))

    def swings(corrections):
        return read(tracks, corrections).to_json()["swings"]

    before, wanted = {"remove_swings": [1]}, {"remove_swings": [1], "speed_factor": 5.0}
    assert [len(swings({})), len(swings({"speed_factor": 5.0}))] == [2, 1]
    assert renumbered(before, wanted, swings)[0] == {"remove_swings": [], "speed_factor": 5.0}
