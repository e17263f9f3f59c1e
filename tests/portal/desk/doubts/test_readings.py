"""Words and ratings against clear calls: a sentence each, and none where nothing is to be said."""

import pytest

from portal.desk.doubts import doubts_of
from portal.desk.models import Rating
from portal.measuring.door import checkpoint

OPENING = checkpoint("down_foot_opening")


def holding(sentences, words):
    return [sentence for sentence in sentences if words in sentence]


def test_a_draft_that_agrees_with_its_readings_raises_none_of_these(said):
    assert not [sentence for sentence in said() if "range" in sentence or "help against" in sentence]


def test_the_one_thing_that_reads_in_range_argues_against_itself(said, reads):
    reads("down_foot_opening", 30, 5)
    (sentence,) = holding(said(), "in range")
    assert "The one thing, “Front foot angle”, was measured in range (30°, wanted: at most 45°)." in sentence
    assert "Choose another one thing" in sentence


@pytest.mark.parametrize("value", [46, 70, None])
def test_too_close_out_of_range_or_not_readable_is_no_argument(said, reads, value):
    reads("down_foot_opening", value, 5)
    assert not holding(said(), "in range")


def test_words_for_the_other_side_are_told(said, reads):
    (sentence,) = holding(said(thing_words=f"{OPENING.low_words} {OPENING.why}"), "Turn the words round")
    assert "help against “too closed”" in sentence
    assert "was measured as “too open” (62°, wanted: at most 45°)" in sentence
    assert not holding(said(thing_words=f"{OPENING.high_words} {OPENING.why}"), "Turn the words round")


def test_a_headline_that_only_names_the_checkpoint_is_told(said):
    (sentence,) = holding(said(thing_title="Front foot angle "), "only names")
    assert "“Front foot angle”, only names what you looked at" in sentence
    assert not holding(said(thing_title="Land with the toes closed"), "only names")


@pytest.mark.parametrize(
    ("name", "rate", "told"),
    [
        ("down_front_knee", "work_on", "work on, and it was measured in range (44°, wanted: 25 to 60°)"),
        ("down_front_knee", "watch", ""),
        ("down_front_knee", "good", ""),
        ("down_foot_opening", "good", "good, and it was measured out of range: too open (62°, wanted: at most 45°)"),
        ("down_foot_opening", "work_on", ""),
        ("load_head_travel", "good", ""),
        ("load_head_travel", "work_on", ""),
        ("down_hips_square", "good", ""),
        ("contact_palms", "work_on", ""),
    ],
)
def test_a_rating_is_doubted_only_where_the_call_is_clear(said, review, name, rate, told):
    Rating.objects.create(review=review, checkpoint=name, rate=rate)
    doubted = holding(said(), f"You rated “{checkpoint(name).name}")
    assert len(doubted) == bool(told)
    assert all(told in sentence for sentence in doubted)


def test_a_doubt_of_a_rating_leads_to_its_checkpoint(review):
    Rating.objects.create(review=review, checkpoint="down_front_knee", rate="work_on")
    place = next(doubt.place for doubt in doubts_of(review) if "You rated" in doubt.text)
    assert (place.stop, place.anchor) == ("foot_down", "point-down_front_knee")


def test_nothing_good_said_is_a_doubt_and_no_wall(said):
    assert said(good=["  "])[0] == "Nothing good is said yet. Name one thing that the player does well."
    assert not holding(said(good=["Quiet hands."]), "Nothing good")


def test_praise_of_what_is_to_be_worked_on_is_told(said, review):
    knee = checkpoint("down_front_knee")
    Rating.objects.create(review=review, checkpoint=knee.id, rate="work_on")
    (sentence,) = holding(said(good=[knee.good_words]), "praises what you rated work on")
    assert knee.good_words in sentence


def test_a_draft_without_a_clip_can_be_looked_over(said):
    assert not holding(said(clip=None), "range")
