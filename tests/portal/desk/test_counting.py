"""Which swings count, and the numbers that stand beside the coach's words because of it."""

from __future__ import annotations

import copy
from importlib import import_module

import pytest
from django.apps import apps
from django.urls import reverse

from portal.desk import counting, drafts
from portal.desk.doubts import doubts_of
from portal.desk.models import Rating, Review
from portal.desk.stops import stops
from portal.desk.swings import swing_of
from portal.evaluations.snapshot import build
from portal.measuring.models import Measurement

KNEE = "down_front_knee"
VALUES = (40.0, 44.0, 52.0)


def read(value):
    return {"value": value, "interval": [value - 6, value + 6], "call": "in range", "reason": None}


def with_swings(review, *values, checked=()):
    """The review's clip has these swings, alike but for the bend of the front knee (give or take 6); `checked` never reach contact."""
    held = Measurement.objects.get(clip=review.clip_id)
    (first,) = held.result["swings"]
    swings = []
    for index, value in enumerate(values):
        swing = copy.deepcopy(first) | {"index": index, "start_frame": 20 * index, "end_frame": 20 * index + 19}
        swing["reaches_contact"] = index not in checked
        for reading in swing["readings"]:
            if reading["checkpoint"] == KNEE:
                gone = {"value": None, "interval": None, "call": "not readable", "reason": "hidden"}
                reading.update(gone if value is None else read(value))
        swings.append(swing)
    held.result["swings"] = swings
    held.save(update_fields=["result"])


def fresh(review) -> Review:
    return Review.objects.get(pk=review.pk)


def knee(review) -> dict:
    return counting.readings_of(fresh(review))[KNEE]


def test_one_swing_is_the_reading_as_it_was(review):
    assert knee(review) == next(one for one in swing_of(review)["readings"] if one["checkpoint"] == KNEE)


def test_of_three_swings_the_middle_one_is_the_clips_value_and_each_is_told(review):
    with_swings(review, *VALUES)
    assert knee(review)["value"] == 44
    assert [(one["swing"], one["value"], one["counts"]) for one in knee(review)["each"]] == [
        (0, 40.0, True), (1, 44.0, True), (2, 52.0, True),
    ]  # fmt: skip


def test_the_interval_narrows_where_swings_agree_and_stays_where_they_differ(review):
    with_swings(review, 43.9, 44.0, 44.1)
    low, high = knee(review)["interval"]
    assert 5 < (high - low) / 2 < 5.95
    with_swings_again(review, 30.0, 44.0, 58.0)
    low, high = knee(review)["interval"]
    assert (high - low) / 2 == pytest.approx(6, abs=0.01)


def test_of_two_it_is_half_way_between(review):
    with_swings(review, 40.0, 44.0)
    assert knee(review)["value"] == 42


def test_the_call_is_made_of_the_clips_interval(review):
    """Wanted 25 to 60: single swings at 55 and 62 are too close to call and so is 58; with 30 and 36 the clip is surely in range."""
    with_swings(review, 55.0, 62.0)
    assert (knee(review)["band"], knee(review)["call"]) == ([25, 60], "too close to call")
    with_swings_again(review, 30.0, 36.0, 55.0)
    assert knee(review)["call"] == "in range"


def with_swings_again(review, *values):
    held = Measurement.objects.get(clip=review.clip_id)
    held.result["swings"] = held.result["swings"][:1]
    held.save(update_fields=["result"])
    with_swings(review, *values)


def test_a_swing_that_does_not_show_it_is_passed_over(review):
    with_swings(review, 40.0, None, 44.0)
    assert (knee(review)["value"], [one["swing"] for one in knee(review)["each"]]) == (42, [0, 2])


def test_what_no_swing_shows_has_the_reason_of_the_one_shown(review):
    with_swings(review, None, None)
    assert (knee(review)["call"], knee(review)["reason"]) == ("not readable", "hidden")


def test_a_checked_swing_counts_only_where_the_coach_says_so(review, post_change):
    with_swings(review, *VALUES, checked=(2,))
    assert knee(review)["value"] == 42
    assert post_change("counting", clip=str(review.clip_id), swing=2, counts=True).status_code == 200
    assert knee(review)["value"] == 44


def test_where_no_swing_reaches_contact_all_count(review):
    with_swings(review, *VALUES, checked=(0, 1, 2))
    assert knee(review)["value"] == 44


def test_a_swing_is_left_out_and_taken_back(review, post_change):
    with_swings(review, *VALUES)
    answer = post_change("counting", clip=str(review.clip_id), swing=2, counts=False)
    assert answer.json()["version"] == fresh(review).version
    assert (knee(review)["value"], knee(review)["each"][2]["counts"]) == (42, False)
    post_change("counting", clip=str(review.clip_id), swing=2, counts=True)
    assert knee(review)["value"] == 44


def test_the_last_swing_that_counts_stays(review, post_change):
    with_swings(review, 40.0, 44.0)
    post_change("counting", clip=str(review.clip_id), swing=0, counts=False)
    before = fresh(review)
    answer = post_change("counting", clip=str(review.clip_id), swing=1, counts=False)
    assert (answer.status_code, answer.json()["words"]) == (400, "One swing has to count. Take another one back first.")
    assert (fresh(review).version, fresh(review).counting) == (before.version, before.counting)


def test_a_swing_that_is_not_there_is_refused_in_words(review, post_change):
    answer = post_change("counting", clip=str(review.clip_id), swing=7, counts=False)
    assert (answer.status_code, answer.json()["words"]) == (400, "This clip has no swing 8 any more.")


def test_the_film_shows_one_swing_and_the_numbers_are_the_clips(review):
    with_swings(review, *VALUES)
    Review.objects.filter(pk=review.pk).update(swing=2)
    walk = stops(fresh(review), swing_of(fresh(review)))
    stop = next(stop for stop in walk if stop.name == "foot_down")
    point = next(point for point in stop.points if point.entry.id == KNEE)
    assert stop.when.startswith("swing 3: ")
    assert (point.value, point.ticks) == ("44°", list(VALUES))
    assert [(one["number"], one["words"]) for one in point.each] == [(1, "40°"), (2, "44°"), (3, "52°")]


def test_showing_another_swing_changes_no_number_and_no_word(review):
    with_swings(review, *VALUES)
    drafts.rate(KNEE, "good", "soft")(review)
    before = build(fresh(review), None, 1)["points"]
    Review.objects.filter(pk=review.pk).update(swing=2)
    assert build(fresh(review), None, 1)["points"] == before


def test_an_edition_holds_the_clips_number_and_which_swing_a_picture_shows(review):
    with_swings(review, *VALUES)
    review.counting = {str(review.clip_id): {"0": False}}
    review.save(update_fields=["counting"])
    drawn = {"shapes": [], "caption": "Here", "show_skeleton": False, "for_thing": False, "in_evaluation": True}
    drafts.draw(review.clip, 45, **drawn)(review)
    held = build(fresh(review), None, 1)
    point = next(point for point in held["points"] if point["checkpoint"] == KNEE)
    assert (point["value"], point["each"]) == (48, [44.0, 52.0])
    assert (held["film"]["counted"], held["film"]["swings"]) == (2, 3)
    assert {picture["swing"] for picture in held["pictures"]} == {"Swing 3 of 3"}


def test_where_one_of_several_counts_the_edition_names_it(review):
    with_swings(review, *VALUES)
    review.counting = {str(review.clip_id): {"0": False, "2": False}}
    review.save(update_fields=["counting"])
    assert build(fresh(review), None, 1)["film"]["measured"] == 2


def test_a_number_of_one_swing_alone_is_doubted(review):
    """44 is the clip's; 52 is what swing 3 has, and no other."""
    with_swings(review, *VALUES)
    drafts.rate(KNEE, "good", "Your knee bends 52°.")(review)
    said = [doubt.text for doubt in doubts_of(fresh(review)) if "52" in doubt.text]
    knee_words = "“Front knee bend at foot down”"
    assert said == [
        f"“52°” in your words on {knee_words} is {knee_words} of swing 3 alone; the clip’s number is 44°. Put that one."
    ]
    drafts.rate(KNEE, "good", "Your knee bends 44°.")(review)
    assert not [doubt for doubt in doubts_of(fresh(review)) if "44" in doubt.text]


def test_what_was_said_of_another_clip_is_doubted(review):
    drafts.rate(KNEE, "good", "soft")(review)
    assert Rating.objects.get(checkpoint=KNEE).clip_id == review.clip_id
    about = "What you said of “Front knee bend at foot down” was about another clip"
    assert not [doubt for doubt in doubts_of(fresh(review)) if doubt.text.startswith(about)]
    Rating.objects.filter(checkpoint=KNEE).update(clip=clip_beside(review))
    assert [doubt.place.anchor for doubt in doubts_of(fresh(review)) if doubt.text.startswith(about)] == [
        f"point-{KNEE}"
    ]


def clip_beside(review):
    other = copy.copy(review.clip)
    other.pk, other.sha256 = None, "b" * 64
    other._state.adding = True
    other.save()
    return other


@pytest.mark.parametrize(
    ("said", "moved", "gone", "then"),
    [
        ({"0": False}, {0: 1}, (), {"1": False}),
        ({"0": False, "1": True}, {0: 1, 1: 0}, (), {"1": False, "0": True}),
        ({"0": False, "1": False}, {0: 1}, (1,), {"1": False}),
        ({"2": False}, {}, (2,), {}),
        ({"2": False}, {0: 1}, (), {"2": False}),
    ],
)
def test_what_was_said_goes_on_with_its_swing(review, said, moved, gone, then):
    Review.objects.filter(pk=review.pk).update(counting={str(review.clip_id): said})
    counting.renumber(review.clip_id, moved, gone)
    assert fresh(review).counting == {str(review.clip_id): then}


def test_a_draft_that_was_begun_keeps_the_numbers_it_was_begun_with(review):
    """The migration: until then the numbers were those of the chosen swing."""
    with_swings(review, *VALUES)
    Review.objects.filter(pk=review.pk).update(swing=2, version=4)
    import_module("portal.desk.migrations.0008_swings_that_count").keep_numbers(apps, None)
    assert fresh(review).counting == {str(review.clip_id): {"0": False, "1": False, "2": True}}
    assert knee(review)["value"] == 52


def test_a_draft_that_was_not_begun_has_the_middle_of_all(review):
    with_swings(review, *VALUES)
    Review.objects.filter(pk=review.pk).update(swing=2, version=0)
    import_module("portal.desk.migrations.0008_swings_that_count").keep_numbers(apps, None)
    assert fresh(review).counting == {}


def test_the_row_of_swings_stands_on_the_desk_and_not_where_there_is_one(review, desk_client):
    address = reverse("desk", args=[review.submission_id])
    assert b'id="counting"' not in desk_client.get(address).content
    with_swings(review, *VALUES)
    html = desk_client.get(address).content.decode()
    assert html.count("data-count=") == 3
