"""What the PDF has no room for is told before it is published."""

import pytest

from portal.desk.models import Assignment
from portal.drills.models import Drill

pytestmark = pytest.mark.usefixtures("library")
LONG = "Keep the front foot closed a little longer, and the hips wait for the hands. "


def plan(review, number):
    for place, drill in enumerate(Drill.objects.order_by("slug")[:number]):
        Assignment.objects.create(review=review, drill=drill, position=place)


def about_paper(sentences):
    return [sentence for sentence in sentences if "PDF" in sentence]


@pytest.mark.parametrize("drills", [0, 1, 2])
def test_a_usual_evaluation_is_two_pages_and_nothing_is_said(said, review, drills):
    plan(review, drills)
    assert about_paper(said(greeting=LONG, closing=LONG, thing_words=LONG * 3)) == []


def test_drills_that_find_no_room_are_counted(said, review):
    plan(review, 5)
    (sentence,) = about_paper(said())
    assert sentence.startswith("The PDF is longer than its two pages: the last ")
    assert sentence.endswith(
        " drills will stand in the annex behind them. Shorten what you wrote or take a drill out. Or leave it so: nothing is lost."
    )


def test_words_that_are_too_long_are_named_with_the_drills(said, review):
    plan(review, 1)
    good = [f"{LONG * 5}{n}" for n in range(12)]
    told = about_paper(said(greeting=LONG * 24, good=good, thing_words=LONG * 36, closing=LONG * 24))
    assert " ".join(told) == (
        "The PDF is longer than its two pages: the end of the greeting, the end of the closing words and some of what is already "
        "good will stand in the annex behind them. Shorten what you wrote. Or leave it so: nothing is lost."
    )
