"""Why each drill stands in the plan."""

from portal.desk.models import Rating
from portal.drills.models import Drill
from portal.evaluations.reasons import reasons

FOOT = Drill(slug="foot", trains=["down_foot_opening"], against={"down_foot_opening": "high"})
CHALK = Drill(slug="chalk", trains=["down_foot_opening"], against={})
OPENS = Drill(slug="opens", trains=["down_foot_opening"], against={"down_foot_opening": "low"})
STATUE = Drill(slug="statue", trains=["finish_balance", "down_front_knee"], against={})
NOTHING: dict[str, Rating] = {}


def rated(**rates):
    return {checkpoint: Rating(checkpoint=checkpoint, rate=rate) for checkpoint, rate in rates.items()}


def test_the_second_drill_for_the_one_thing_says_that_it_is_another_way():
    assert reasons([FOOT, CHALK], "down_foot_opening", "high", NOTHING) == [
        "This one is for the one thing.",
        "For the one thing too, in another way.",
    ]


def test_a_drill_for_something_else_names_what_the_coach_said_of_it():
    said = reasons(
        [FOOT, STATUE], "down_foot_opening", "high", rated(finish_balance="watch", down_front_knee="work_on")
    )
    assert said[1] == "This one is for something else your coach wants to work on: “Front knee bend at foot down”."
    said = reasons([STATUE], "down_foot_opening", "high", rated(finish_balance="watch"))
    assert said == ["This one is for something else your coach keeps an eye on: “Balance at the finish”."]


def test_a_drill_against_the_other_side_is_not_said_to_be_for_the_one_thing():
    assert reasons([OPENS], "down_foot_opening", "high", NOTHING) == [""]


def test_nothing_is_made_up_where_nothing_was_said():
    assert reasons([STATUE], "", "", rated(finish_balance="good")) == [""]
