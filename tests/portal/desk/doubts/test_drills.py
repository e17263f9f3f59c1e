"""The practice plan against the one thing and its side."""

import pytest

from portal.desk.models import Assignment
from portal.drills.models import Drill
from portal.measuring.door import checkpoint

pytestmark = pytest.mark.usefixtures("library")
NONE = "No drill of the plan trains the one thing, “Front foot angle”."


def plan(review, *slugs, words=""):
    for place, slug in enumerate(slugs):
        drill = Drill.objects.get(slug=slug)
        Assignment.objects.create(review=review, drill=drill, position=place, words=words)


def about_drills(sentences):
    return [
        sentence for sentence in sentences if "drill" in sentence or "train" in sentence or "helps when" in sentence
    ]


@pytest.mark.parametrize("slug", ["land-on-the-chalk", "slice-of-cake"])
def test_a_drill_for_this_side_or_from_either_is_fine(said, review, slug):
    plan(review, slug)
    assert about_drills(said()) == []


def test_a_plan_without_a_drill_for_the_one_thing_is_told(said, review):
    assert about_drills(said()) == [f"{NONE} Add one that does."]


def test_a_drill_beside_the_one_thing_asks_for_a_word(said, review):
    plan(review, "land-on-the-chalk", "statue")
    (sentence,) = about_drills(said())
    assert sentence.startswith("“The statue” does not train the one thing.")


def test_with_a_word_of_the_coach_it_may_stand_there(said, review):
    plan(review, "statue", words="For your balance, as we said at camp.")
    plan(review, "land-on-the-chalk")
    assert about_drills(said()) == []


def test_a_drill_for_the_other_side_is_told(said, review, reads):
    reads("down_front_knee", 74)
    plan(review, "soft-knees-both")
    told = about_drills(said(thing_checkpoint="down_front_knee"))
    assert told[0] == (
        "“Two soft knees” helps when “Front knee bend at foot down” is “too straight”, and here it is “too bent”. Take the drill out, and "
        "choose one for this side."
    )


def test_where_the_film_is_not_sure_the_words_that_the_coach_took_say_the_side(said, review, reads):
    reads("down_front_knee", 60)
    plan(review, "soft-knees-both")
    knee = checkpoint("down_front_knee")
    assert about_drills(said(thing_checkpoint=knee.id, thing_words=knee.why)) == []
    told = about_drills(said(thing_words=f"{knee.high_words} {knee.why}"))
    assert "here it is “too bent”" in told[0]
    assert about_drills(said(thing_words=f"{knee.low_words} {knee.why}")) == []


def test_a_one_thing_in_free_words_has_no_drill_to_miss(said):
    assert about_drills(said(thing_checkpoint="")) == []
