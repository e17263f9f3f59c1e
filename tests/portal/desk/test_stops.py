"""The walk: every checkpoint of the book stands at exactly one stop."""

from dataclasses import replace

import pytest

from portal.desk.models import Rating
from portal.desk.stops import stops, when_words
from portal.desk.swings import swing_of
from portal.measuring.door import CHECKPOINTS, INSTANTS


def test_every_checkpoint_stands_at_one_stop(review):
    walk = stops(review, swing_of(review))
    assert [stop.name for stop in walk] == list(INSTANTS)
    assert sorted(point.entry.id for stop in walk for point in stop.points) == sorted(entry.id for entry in CHECKPOINTS)


def test_a_stop_tallies_its_ratings_in_signs_and_in_words(review):
    Rating.objects.create(review=review, checkpoint="setup_front_knee", rate="good")
    Rating.objects.create(review=review, checkpoint="setup_rear_knee", rate="work_on")
    first = stops(review, swing_of(review))[0]
    assert first.tally.count("●") == 1
    assert first.tally.count("◇") == 1
    assert first.tally_words == f"2 of {len(first.points)} rated"


def test_the_one_thing_is_marked_at_its_stop(review):
    marked = [point.entry.id for stop in stops(review, swing_of(review)) for point in stop.points if point.is_thing]
    assert marked == ["down_foot_opening"]


def test_a_checkpoint_that_the_reading_does_not_hold_says_why(review):
    swing = swing_of(review)
    swing["readings"] = []
    point = stops(review, swing)[0].points[0]
    assert point.reading["call"] == "not readable"
    assert "before the checkpoint came into the book" in point.reading["reason"]


@pytest.mark.parametrize(
    ("value", "others", "band", "offered"),
    [
        (62.0, [], [None, 45.0], True),
        (40.0, [], [None, 45.0], False),
        (40.0, [38.0, 47.0], [None, 45.0], True),  # one of the swings lacks something: it may be the one shown
        (5.0, [], [15.0, 50.0], True),
        (None, [], [15.0, 50.0], False),
        (5.0, [], None, False),
    ],
)
def test_a_wanted_position_is_offered_where_something_is_wanted(review, value, others, band, offered):
    walk = stops(review, swing_of(review))
    point = next(one for stop in walk for one in stop.points if one.entry.id == "down_foot_opening")
    reading = {**point.reading, "value": value, "band": band, "each": [{"value": one} for one in others]}
    assert replace(point, reading=reading).has_wanted == offered


def test_without_a_swing_the_walk_still_stands(review):
    review.clip.measurement.result = {}
    walk = stops(review, None)
    assert all(stop.frame is None for stop in walk)
    assert {stop.when for stop in walk} == {"no swing yet"}
    assert {point.reading["reason"] for stop in walk for point in stop.points if not point.entry.by_eye} == {
        "no swing yet"
    }


def test_the_time_of_an_instant_says_how_sure_it_is_and_from_what():
    instant = {"time_s": 2.017, "interval_s": [2.013, 2.021], "source": "sound"}
    assert when_words(instant).replace("\u202f", " ") == "2.017 s, give or take 4 ms, heard in the sound"
    rough = {**instant, "interval_s": [1.0, 3.1], "source": "measured"}
    assert when_words(rough) == "2.017 s, only roughly: put it where you see it"
    assert when_words({"time_s": None, "reason": "the foot never lifts"}) == "the foot never lifts"
