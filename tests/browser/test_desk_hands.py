"""The coach's hand on the film: keypoints, bat and what holds for the whole film, dragged and set in a real browser."""

from __future__ import annotations

import numpy as np
import pytest

from tests.analysis.read.motion import Film, film_swing
from tests.browser.conftest import DESKTOP
from tests.browser.desk_film import coach_with_film, until, write_read_film
from tests.browser.desk_pages import (
    SMALL,
    click_in_clip,
    drag_in_clip,
    frame_of,
    go,
    on_page,
    reading_of,
    ready,
    settled,
    standing,
)
from tests.browser.width import fits

pytest_plugins = ["tests.browser.desk_pages"]

LEFT_KNEE = 25  # of MediaPipe's 33 keypoints: a right-handed hitter's front knee


def body(page) -> dict:
    return page.evaluate("desk.film.bodies.at(desk.film.frame)")


def knee(page) -> tuple[float, float]:
    return tuple(body(page)["points"][LEFT_KNEE][:2])


def shown_value(page, checkpoint: str) -> str:
    return page.locator(f"[data-checkpoint={checkpoint}] [data-part=value]").text_content().strip()


def at_foot_down(open_desk):
    """The desk at the frame where the foot is down, with the tool that moves points."""
    page = open_desk("foot_down")
    go(page, frame_of("foot_down"))
    page.keyboard.press("p")
    return page


def test_a_dragged_keypoint_is_kept_changes_the_readings_and_stays_where_it_was_put(open_desk):
    page = at_foot_down(open_desk)
    frame, (x, y) = frame_of("foot_down"), knee(page)
    value, words = reading_of("down_front_knee_inside")["value"], shown_value(page, "down_front_knee_inside")
    wanted = (x + 22, y - 6)
    drag_in_clip(page, (x, y), wanted)
    settled(page)
    [move] = standing().corrections["keypoints"]
    assert (move["frame"], move["keypoint"]) == (frame, LEFT_KNEE)
    assert (move["x"], move["y"]) == pytest.approx(wanted, abs=1.0)  # a pixel of the page is less than one of the clip
    assert abs(reading_of("down_front_knee_inside")["value"] - value) > 1.0
    until(
        page,
        f"document.querySelector('[data-checkpoint=down_front_knee_inside] [data-part=value]').textContent.trim() !== '{words}'",
    )
    page.reload()
    ready(page)
    go(page, frame)
    assert knee(page) == pytest.approx((move["x"], move["y"]), abs=0.06)


def test_a_click_that_moves_nothing_corrects_nothing(open_desk):
    page = at_foot_down(open_desk)
    click_in_clip(page, *knee(page))
    page.wait_for_timeout(200)
    assert page.evaluate("desk.correcting.isClean")
    assert standing().corrections == {}


def test_a_drag_that_the_device_breaks_off_corrects_nothing(open_desk):
    page = at_foot_down(open_desk)
    x, y = knee(page)
    page.mouse.move(*on_page(page, x, y))
    page.mouse.down()
    page.mouse.move(*on_page(page, x + 30, y), steps=4)
    page.evaluate("desk.film.viewport.canvas.dispatchEvent(new PointerEvent('pointercancel'))")
    page.mouse.up()
    assert page.evaluate("desk.correcting.isClean")
    assert knee(page) == pytest.approx((x, y), abs=0.06)


@pytest.mark.parametrize(("end", "other"), [(0, 1), (1, 0)], ids=["knob", "barrel"])
def test_a_dragged_end_of_the_bat_is_kept_and_the_other_stays(open_desk, end, other):
    page = at_foot_down(open_desk)
    frame, before, value = frame_of("foot_down"), body(page)["bat"], reading_of("down_bat_angle")["value"]
    wanted = (before[end][0] + (-24, 24)[end], before[end][1] + (-30, 30)[end])
    drag_in_clip(page, before[end], wanted)
    settled(page)
    [move] = standing().corrections["bat"]
    ends = (move["knob"], move["barrel"])
    assert move["frame"] == frame
    assert ends[end] == pytest.approx(wanted, abs=1.0)
    assert ends[other] == pytest.approx(before[other], abs=0.06)
    knob, barrel = np.array(move["knob"]), np.array(move["barrel"])
    flat = np.degrees(np.arctan2(knob[1] - barrel[1], abs(barrel[0] - knob[0])))
    assert abs(reading_of("down_bat_angle")["value"] - value) > 2.0, f"the bat now stands {flat:.0f} degrees up"
    page.reload()
    ready(page)
    go(page, frame)
    assert np.allclose(body(page)["bat"], ends, atol=0.06)


def test_two_drags_one_after_the_other_are_both_kept(open_desk):
    page = at_foot_down(open_desk)
    drag_in_clip(page, knee(page), (knee(page)[0] + 20, knee(page)[1]))
    barrel = body(page)["bat"][1]
    drag_in_clip(page, barrel, (barrel[0] + 20, barrel[1]))
    settled(page)
    assert (len(standing().corrections["keypoints"]), len(standing().corrections["bat"])) == (1, 1)


def test_a_frame_goes_back_to_what_was_seen_and_other_frames_keep_what_was_moved(open_desk):
    page = at_foot_down(open_desk)
    frame, seen, value = frame_of("foot_down"), knee(page), reading_of("down_front_knee")["value"]
    assert page.locator("#restore").is_hidden()
    drag_in_clip(page, seen, (seen[0] + 20, seen[1]))
    barrel = body(page)["bat"][1]
    drag_in_clip(page, barrel, (barrel[0] + 20, barrel[1]))
    go(page, frame + 1)
    assert page.locator("#restore").is_hidden()
    other = knee(page)
    drag_in_clip(page, other, (other[0] - 15, other[1]))
    settled(page)
    go(page, frame)
    page.get_by_role("button", name="Frame as measured").click()
    settled(page)
    held = standing().corrections
    assert ([move["frame"] for move in held["keypoints"]], held["bat"]) == ([frame + 1], [])
    assert knee(page) == pytest.approx(seen, abs=0.06)
    assert page.locator("#restore").is_hidden()
    go(page, frame + 1)
    page.keyboard.press("k")
    settled(page)
    assert standing().corrections["keypoints"] == []
    assert reading_of("down_front_knee")["value"] == pytest.approx(value, abs=1e-6)


def test_undo_takes_the_newest_first_whatever_tool_is_chosen(open_desk):
    page = at_foot_down(open_desk)
    x, y = knee(page)
    drag_in_clip(page, (x, y), (x + 20, y))
    settled(page)
    page.keyboard.press("Escape")  # the tool that looks
    page.keyboard.press("z")
    settled(page)
    assert standing().corrections["keypoints"] == []
    assert page.locator("#said").text_content() == "Undid: point moved"


# ------------------------------------------------------------------ the film as a whole


def open_panel(page):
    page.locator("#film-open").click()
    return page.locator("#film-panel")


def test_view_and_hand_are_set_for_the_whole_film_and_given_back(open_desk):
    page = open_desk("foot_down")
    panel = open_panel(page)
    assert panel.locator("#film-measured").is_hidden()
    panel.get_by_label("Filmed from").select_option("catcher_side")
    panel.get_by_role("button", name="Read again this way").click()
    settled(page)
    assert standing().corrections == {"view": "catcher_side"}
    assert standing().result["film"]["view_source"] == "coach"
    until(page, "document.querySelector('#film-open').textContent.includes('catcher')")
    panel = open_panel(page)
    panel.get_by_label("Hits").select_option("left")
    panel.get_by_role("button", name="Read again this way").click()
    settled(page)
    assert standing().corrections == {"view": "catcher_side", "hand": "left"}
    assert standing().result["film"]["hand"] == "left"
    ready(page)
    open_panel(page).get_by_role("button", name="Back to what was measured").click()
    until(page, "window.desk?.correcting?.isClean && desk.data.film.hand_source === 'measured'")
    film = standing().result["film"]
    assert (film["view"], film["hand"], film["view_source"]) == ("chest_side", "right", "measured")
    until(page, "document.querySelector('#film-open')?.textContent.includes('chest')")


@pytest.fixture(scope="session")
def slow_film():
    """A swing that was slowed down four times before it was sent."""
    return write_read_film(film_swing(Film(**SMALL, slow=4.0)))


def test_times_of_a_slowed_film_are_read_once_the_coach_says_how_slow(site, slow_film, open_page, sign_in):
    coach, review = coach_with_film(*slow_film)
    page = open_page(**DESKTOP)
    sign_in(page, coach)
    page.goto(f"/submissions/{review.submission_id}/desk/contact/")
    ready(page)
    stop = page.locator("[data-checkpoint=down_to_contact]")
    where = stop.evaluate("(point) => point.closest('[data-card]').dataset.card")
    page.locator(f"a[data-stop={where}]").click()
    assert reading_of("down_to_contact")["call"] == "not readable"
    assert "slower than life" in stop.locator("[data-part=call]").text_content()
    panel = open_panel(page)
    assert (
        panel.get_by_label("Slow motion: times slower than real time").input_value() == "4"
    )  # proposed, to be confirmed
    assert "It seems to be 4: right?" in panel.locator("#film-speed-help").text_content()
    panel.get_by_label("Slow motion: times slower than real time").fill("4")
    panel.get_by_role("button", name="Read again this way").click()
    settled(page)
    read = reading_of("down_to_contact")
    # Contact is at 1.42 s. The foot's smooth way ends at 1.20 s, and from 1.16 s on it rests as DESIGN.md has it.
    assert read["value"] == pytest.approx(260.0, abs=70.0)
    until(
        page, "document.querySelector('[data-checkpoint=down_to_contact] [data-part=value]').textContent.includes('ms')"
    )
    until(page, "document.querySelector('#film-open').textContent.includes('slowed 4 times')")
    # full speed is the hitter's: what was slowed four times runs four times faster than the film's own times
    page.locator("#rate").select_option("1")
    assert page.evaluate("window.desk.film.play.rate") == 4
    page.locator("#rate").select_option("0.25")
    assert page.evaluate("window.desk.film.play.rate") == 1
    page.reload()
    ready(page)
    assert page.evaluate("window.desk.film.play.rate") == 1
    panel = open_panel(page)
    assert "It seems" not in panel.locator("#film-speed-help").text_content()
    assert panel.get_by_label("Slow motion: times slower than real time").input_value() == "4"
    panel.get_by_label("Slow motion: times slower than real time").fill("8")
    panel.get_by_role("button", name="Read again this way").click()
    settled(page)
    assert reading_of("down_to_contact")["value"] == pytest.approx(read["value"] / 2, rel=0.25)
    panel = open_panel(page)
    panel.get_by_label("Slow motion: times slower than real time").fill("")
    panel.get_by_role("button", name="Read again this way").click()
    settled(page)
    assert reading_of("down_to_contact")["call"] == "not readable"


def test_what_was_chosen_but_closed_goes_into_no_later_reading(open_desk):
    page = open_desk("foot_down")
    panel = open_panel(page)
    panel.get_by_label("Filmed from").select_option("catcher_side")
    panel.get_by_role("button", name="Close").click()
    panel = open_panel(page)
    assert panel.get_by_label("Filmed from").input_value() == "chest_side"
    panel.get_by_label("Slow motion: times slower than real time").fill("2")
    panel.get_by_role("button", name="Read again this way").click()
    settled(page)
    assert standing().corrections == {"speed_factor": 2}


@pytest.mark.parametrize(("size", "scheme"), [(1280, "dark"), (390, "light")])
def test_the_panel_is_accessible_and_fits(open_desk, axe, shot, size, scheme):
    page = open_desk("foot_down", viewport={"width": size, "height": 844}, color_scheme=scheme)
    panel = open_panel(page)
    panel.get_by_label("Slow motion: times slower than real time").fill("2")
    panel.get_by_role("button", name="Read again this way").click()
    settled(page)
    open_panel(page)
    assert panel.get_by_role("button", name="Back to what was measured").is_visible()
    axe(page)
    fits(page)
    shot(page, f"desk-film-panel-{size}-{scheme}")


def test_a_speed_that_cannot_be_is_not_sent(open_desk):
    page = open_desk("foot_down")
    panel = open_panel(page)
    panel.get_by_label("Slow motion: times slower than real time").fill("90")
    panel.get_by_role("button", name="Read again this way").click()
    assert panel.is_visible()
    assert standing().corrections == {}
