"""The drawing from above, against the Official Baseball Rules' sizes (plate 17 / 8.5 / 12 in, box 6 x 4 ft)."""

from math import dist
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.drills.diagram import SHOE, TEE_Y, scene
from portal.drills.diagram_svg import BOTTOM, LEFT, PRINT, RIGHT, TOP, drawing
from portal.drills.set_up import CHOICES, TEE_DEPTH, SetUpFault

SVG = "{http://www.w3.org/2000/svg}"
set_ups = st.fixed_dictionaries({key: st.sampled_from(sorted(choices)) for key, choices in CHOICES.items()})
hands = st.sampled_from(["right", "left"])


def test_the_plate_has_the_sizes_of_the_rules():
    plate = scene({}).plate
    sides = [dist(a, b) for a, b in zip(plate, plate[1:] + plate[:1], strict=True)]
    # The rules' 12 in are rounded: with 17 and 8.5 given, geometry makes the back edges 8.5 * sqrt(2) = 12.02.
    assert sides == pytest.approx([17, 8.5, 12, 12, 8.5], abs=0.03)


def test_a_tee_ahead_stands_as_far_ahead_as_its_words_say():
    assert "a shoe’s length ahead of the plate" in TEE_DEPTH["ahead"]
    assert TEE_Y["ahead"] == pytest.approx(SHOE, abs=1)


def test_the_box_is_six_by_four_feet_and_six_inches_away():
    left, bottom, right, top = scene({}).box
    assert (right - left, top - bottom) == (48, 72)
    assert -8.5 - right == 6


def test_a_left_handed_batter_stands_on_the_other_side():
    right, left = scene({}, "right"), scene({}, "left")
    assert left.box[0] == -right.box[2]
    for one, other in zip(right.feet, left.feet, strict=True):
        assert other.toe == (-one.toe[0], one.toe[1])


def test_pull_means_the_batters_own_side():
    right, left = (scene({"flies": "pull"}, hits).flight for hits in ("right", "left"))
    assert right[1][0] < right[0][0]
    assert left[1][0] > left[0][0]


def test_the_inside_tee_stands_nearer_to_the_batter():
    near, far = (scene({"tee_across": across}).ball for across in ("inside", "outside"))
    assert near[0] < far[0]


def test_the_front_foot_lands_toward_the_pitcher_and_opens_less_than_45_degrees():
    start, lands = scene({"stride_foot": "straight"}).feet[1:]
    assert lands.toe[1] > start.toe[1]
    assert 0 < lands.toe[1] - lands.heel[1] < lands.toe[0] - lands.heel[0]


def test_feet_that_stay_are_drawn_once():
    assert [foot.role for foot in scene({"stride_foot": "stay"}).feet] == ["rear", "lands"]


def test_no_ball_no_flight():
    drawn = scene({"ball": "none", "flies": "pull"})
    assert (drawn.ball, drawn.flight, drawn.on_tee) == (None, None, False)


def test_what_is_no_set_up_is_refused():
    with pytest.raises(SetUpFault, match="ball must be one of"):
        scene({"ball": "cannon"})


@given(set_up=set_ups, hits=hands)
def test_every_set_up_can_be_drawn_and_stays_in_the_picture(set_up, hits):
    drawn = scene(set_up, hits)
    points = [p for foot in drawn.feet for p in (foot.heel, foot.toe)]
    points += [p for p in (drawn.ball, drawn.tosser, *(drawn.flight or ()), *(drawn.net or ())) if p]
    assert all(LEFT <= x <= RIGHT and BOTTOM <= y <= TOP for x, y in points)
    svg = ElementTree.fromstring(drawing(set_up, hits, PRINT))
    assert svg.find(f"{SVG}title").text.startswith("From above, the pitcher at the top.")


def test_print_needs_no_theme():
    assert "var(" not in drawing({}, inks=PRINT)
    assert "currentColor" not in drawing({}, inks=PRINT)
