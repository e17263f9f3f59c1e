"""Why each drill stands in the plan: every one says something true, in a plain sentence."""

import pytest

from portal.desk.models import Assignment, Rating
from portal.drills.library import shipped
from portal.drills.models import Drill
from portal.evaluations.reasons import reasons

FOOT = Drill(slug="foot", trains=["down_foot_opening"], against={"down_foot_opening": "high"}, set_up={"ball": "none"})
CHALK = Drill(slug="chalk", trains=["down_foot_opening"], against={}, set_up={"ball": "tee"})
OPENS = Drill(slug="opens", trains=["down_foot_opening"], against={"down_foot_opening": "low"})
STATUE = Drill(slug="statue", trains=["finish_balance", "down_front_knee"], against={})
NOTHING: dict[str, Rating] = {}


def plan(*drills, **set_up):
    return [Assignment(drill=drill, set_up=set_up) for drill in drills]


def rated(**rates):
    return {checkpoint: Rating(checkpoint=checkpoint, rate=rate) for checkpoint, rate in rates.items()}


def test_drills_for_the_one_thing_name_it_and_say_where_the_ball_is_now():
    assert reasons(plan(FOOT, CHALK), "down_foot_opening", "high", NOTHING) == [
        "This one is for the one thing, “Front foot angle”.",
        "This one is for the one thing too, “Front foot angle”, now with a ball on the tee.",
    ]
    assert reasons(plan(FOOT, CHALK, ball="soft_toss"), "down_foot_opening", "high", NOTHING)[1] == (
        "This one is for the one thing too, “Front foot angle”."
    )


@pytest.mark.parametrize("ball", ["none", "tee", "soft_toss", "front_toss"])
def test_every_ball_has_its_words(ball):
    before = "tee" if ball != "tee" else "none"
    two = [*plan(FOOT, ball=before), *plan(CHALK, ball=ball)]
    assert ", now with" in reasons(two, "down_foot_opening", "high", NOTHING)[1]


def test_a_drill_for_something_else_names_what_the_coach_said_of_it():
    said = reasons(
        plan(FOOT, STATUE), "down_foot_opening", "high", rated(finish_balance="watch", down_front_knee="work_on")
    )
    assert said[1] == "This one is for something else your coach wants to work on: “Front knee bend at foot down”."
    said = reasons(plan(STATUE), "down_foot_opening", "high", rated(finish_balance="watch"))
    assert said == ["This one is for something else your coach keeps an eye on: “Balance at the finish”."]
    said = reasons(plan(STATUE), "down_foot_opening", "high", rated(down_front_knee="good"))
    assert said == ["This one keeps up what is already good: “Front knee bend at foot down”."]


def test_a_drill_that_the_coach_chose_freely_says_what_it_trains_and_why_that_matters():
    assert reasons(plan(STATUE), "", "", NOTHING) == [
        "This one trains “Balance at the finish”. A balanced finish shows a balanced swing, and the hitter is ready to run."
    ]


def test_a_drill_against_the_other_side_is_not_said_to_be_for_the_one_thing():
    assert reasons(plan(OPENS), "down_foot_opening", "high", NOTHING) == ["Your coach chose this one for you."]


def test_every_drill_of_the_library_has_a_reason_beside_any_one_thing():
    drills = [Drill(**entry) for entry in shipped()]
    for thing in ("", *{name for drill in drills for name in drill.trains}):
        for side in ("", "low", "high"):
            said = reasons(plan(*drills), thing, side, NOTHING)
            assert all(words.endswith(".") and words[0].isupper() for words in said)
