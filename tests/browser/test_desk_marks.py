"""Marks at the desk: angles against an axis, snapping to the body, words that stick, the wanted position."""

from __future__ import annotations

import pytest

from analysis.tracks import KEYPOINTS as K
from portal.desk.models import MarkUp
from portal.measuring.models import Measurement
from tests.browser.desk_film import until
from tests.browser.desk_pages import click_in_clip, drag_in_clip, frame_of, go, standing
from tests.servers import wait_until

pytest_plugins = ["tests.browser.desk_pages"]


def keypoint(page, name):
    x, y, _seen = page.evaluate(f"desk.film.bodies.at(desk.film.frame).points[{K[name]}]")
    return x, y


def shapes(page):
    return page.evaluate("desk.film.tools.shapes")


def at_foot_down(open_desk, **options):
    page = open_desk("foot_down", **options)
    go(page, frame_of("foot_down"))
    return page


def test_the_angle_key_goes_on_from_two_lines_to_the_axes_and_the_ground(open_desk, axe, shot):
    page = at_foot_down(open_desk)
    tools = []
    for _press in range(6):
        page.keyboard.press("a")
        tools.append(page.evaluate("desk.film.tools.tool"))
    assert tools == ["angle", "upright", "level", "ground_line", "ground_edge", "angle"]
    page.get_by_role("button", name="to the vertical").click()
    hip, shoulder = keypoint(page, "right_hip"), keypoint(page, "right_shoulder")
    drag_in_clip(page, hip, (shoulder[0] + 30, shoulder[1]))
    page.keyboard.press("Escape")
    assert [shape["kind"] for shape in shapes(page)] == ["upright"]
    axe(page)


def test_a_frame_that_is_drawn_on_keeps_its_words_in_sight_with_the_angle_tool(open_desk, shot):
    page = at_foot_down(open_desk)
    page.keyboard.press("a")
    assert page.locator("#angle-bar").is_visible()
    drag_in_clip(page, (200, 100), (260, 60))
    click_in_clip(page, 300, 140)  # the angle's third point
    until(page, "desk.film.tools.shapes.length === 1")
    assert page.evaluate("desk.film.tools.tool") == "angle"
    assert page.locator("#caption").is_visible()
    shot(page, "desk-angle-caption")
    page.locator("#angle-tool").click()  # the other kinds are one click on
    assert page.evaluate("desk.film.tools.tool") == "upright"
    assert page.locator("#angle-tool").get_attribute("aria-label") == "Angle to the vertical"
    assert page.locator("#caption").is_visible()


def test_without_a_plate_the_desk_says_what_gives_the_ground(open_desk, shot):
    page = at_foot_down(open_desk)
    page.get_by_role("button", name="Angle", exact=True).click()
    page.get_by_role("button", name="ground: to the pitcher").click()
    drag_in_clip(page, keypoint(page, "left_ankle"), keypoint(page, "left_toe"))
    page.get_by_text("they give the ground").wait_for()
    bar = page.locator("#angle-bar")
    assert bar.evaluate("bar => bar.scrollWidth <= bar.clientWidth")
    shot(page, "desk-angle-ground")
    assert shapes(page) == []


def test_a_mark_snaps_to_the_body_and_with_alt_it_does_not(open_desk):
    page = at_foot_down(open_desk)
    page.keyboard.press("l")
    knee, ankle = keypoint(page, "left_knee"), keypoint(page, "left_ankle")
    near = page.evaluate("desk.film.viewport.inClip(5)")
    drag_in_clip(page, (knee[0] + near, knee[1]), (ankle[0], ankle[1] + near))
    assert shapes(page)[0]["points"] == [pytest.approx(knee, abs=0.1), pytest.approx(ankle, abs=0.1)]
    page.keyboard.down("Alt")
    drag_in_clip(page, (knee[0] + near, knee[1]), (ankle[0], ankle[1] + 4 * near))
    page.keyboard.up("Alt")
    assert shapes(page)[1]["points"][0] == pytest.approx((knee[0] + near, knee[1]), abs=0.6)
    page.keyboard.press("Escape")
    page.keyboard.press("s")  # without the skeleton nothing is there to snap to
    page.keyboard.press("l")
    drag_in_clip(page, (knee[0] + near, knee[1]), (ankle[0], ankle[1] + 8 * near))
    assert shapes(page)[2]["points"][0] == pytest.approx((knee[0] + near, knee[1]), abs=0.6)


def test_words_on_a_mark_stick_to_it(open_desk):
    page = at_foot_down(open_desk)
    page.keyboard.press("0")
    page.keyboard.press("r")
    drag_in_clip(page, (60, 60), (120, 90))
    page.keyboard.press("b")
    click_in_clip(page, 90, 75)
    page.keyboard.type("push")
    page.keyboard.press("Enter")
    (arrow,) = shapes(page)
    assert (arrow["kind"], arrow["text"]) == ("arrow", "push")
    page.keyboard.press("Escape")
    drag_in_clip(page, (90, 75), (90, 135))
    (moved,) = shapes(page)
    assert moved["text"] == "push"
    assert moved["points"][0][1] == pytest.approx(120, abs=1)
    assert wait_until(lambda: MarkUp.objects.filter(shapes__0__text="push", shapes__0__kind="arrow").exists(), 20)


def lacking(checkpoint, value, band):
    """The kept result as if this had been read in its swing."""
    kept_as(checkpoint, value=value, interval=[value - 4, value + 4], band=band, call="out of range", reason=None)


def kept_as(checkpoint, **told):
    """The kept result with something else told of a checkpoint in its swing."""
    measurement = standing()
    for reading in measurement.result["swings"][0]["readings"]:
        if reading["checkpoint"] == checkpoint:
            reading.update(told)
    Measurement.objects.filter(pk=measurement.pk).update(result=measurement.result)


def test_the_wanted_position_is_drawn_dragged_and_taken_back(open_desk, desk_of, shot):
    lacking("down_front_knee", 4.0, [15.0, 50.0])
    page = at_foot_down(open_desk)
    page.locator("#point-down_front_knee").click()
    page.get_by_role("button", name="Draw the wanted position").locator("visible=true").click()
    until(page, "desk.film.tools.shapes.length === 1")
    (ghost,) = shapes(page)
    assert (ghost["kind"], ghost["tone"], ghost["text"]) == ("ghost", "wanted", "wanted: 15°")
    assert ghost["points"][2] == pytest.approx(keypoint(page, "left_ankle"), abs=0.2)
    assert page.evaluate("desk.film.frame") == frame_of("foot_down")
    assert "from this swing’s reading" in page.locator("#said").inner_text()
    shot(page, "desk-wanted-knee")
    hip = ghost["points"][0]
    drag_in_clip(page, hip, (hip[0] + 40, hip[1] - 30))
    (dragged,) = shapes(page)
    assert dragged["points"][0] == pytest.approx((hip[0] + 40, hip[1] - 30), abs=1)
    assert dragged["points"][1:] == ghost["points"][1:]
    assert dragged["text"] == "wanted"  # it is no longer the pose of 15°
    for _step in range(2):
        page.keyboard.press("z")
    assert shapes(page) == []


def test_the_wanted_position_is_drawn_of_what_was_just_rated(open_desk):
    lacking("down_front_knee", 4.0, [15.0, 50.0])
    page = at_foot_down(open_desk)
    page.keyboard.press("o")  # the eye is on the next one now
    page.keyboard.press("y")
    until(page, "document.getElementById('said').textContent.includes('wanted position')")
    assert page.locator("#said").inner_text().startswith("Front knee bend:")
    assert [one["text"] for one in shapes(page)] == ["wanted: 15°"]


def test_what_was_just_rated_good_needs_no_wanted_position(open_desk):
    lacking("down_rear_knee", 4.0, [15.0, 50.0])
    page = at_foot_down(open_desk)
    page.keyboard.press("g")  # the front knee; the eye is on the rear one now
    page.keyboard.press("y")
    until(page, "document.getElementById('said').textContent.includes('wanted position')")
    assert page.locator("#said").inner_text().startswith("Rear knee bend:")


def test_where_nothing_was_read_there_is_no_wanted_position(open_desk):
    # Told here, for which knee is read in a film goes by the method.
    kept_as("down_front_knee", value=None, interval=None, call="not readable", reason="Its interval is wider than the band.")
    page = at_foot_down(open_desk)
    page.locator("#point-down_front_knee").click()
    page.keyboard.press("y")
    until(page, "document.getElementById('said').textContent.includes('Nothing was read here')")
    assert shapes(page) == []
