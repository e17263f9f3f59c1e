"""Keypoints and bat by the list of points: moved without a pointer, put where nothing was seen, undone, in a real browser."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from analysis.read import read
from tests.analysis.read.motion import Film, film_swing
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.desk_film import until, write_read_film
from tests.browser.desk_pages import SMALL, click_in_clip, drag_in_clip, frame_of, go, reading_of, settled, standing
from tests.browser.width import fits

pytest_plugins = ["tests.browser.desk_pages"]

SIZES = {"desktop": DESKTOP, "phone": {**PHONE, "viewport": {"width": 390, "height": 844}}}
LEFT_KNEE, RIGHT_TOE = 25, 32  # of MediaPipe's 33 keypoints


@pytest.fixture(scope="session")
def film():
    """A film in which no bat was seen, and the right toe not where the foot is down."""
    whole = film_swing(Film(**SMALL))
    bat = {"bat_px": np.full_like(whole.bat_px, np.nan), "bat_confidence": np.zeros_like(whole.bat_confidence)}
    tracks = dataclasses.replace(whole, **bat)
    keypoints = tracks.keypoints_px.copy()
    keypoints[read(tracks).swings[0].instants["foot_down"].frame, RIGHT_TOE] = np.nan
    return write_read_film(dataclasses.replace(tracks, keypoints_px=keypoints))


def at_points(open_desk, **options):
    page = open_desk("foot_down", **options)
    go(page, frame_of("foot_down"))
    page.get_by_role("button", name="Points", exact=True).click()
    # The tool's line takes room, and the film hears of its new size two pictures of the screen later.
    page.evaluate("new Promise((go_on) => requestAnimationFrame(() => requestAnimationFrame(go_on)))")
    return page


def place(page, keypoint: int) -> tuple[float, float]:
    return tuple(page.evaluate(f"desk.film.bodies.at(desk.film.frame).points[{keypoint}]")[:2])


def words(page) -> str:
    return page.locator("#point-words").text_content()


def placed() -> list[tuple[int, int]]:
    return [(move["frame"], move["keypoint"]) for move in standing().corrections.get("keypoints", [])]


def test_a_point_is_chosen_from_the_list_and_moved_by_the_arrow_keys(open_desk):
    page = at_points(open_desk)
    frame, (x, y) = frame_of("foot_down"), place(page, LEFT_KNEE)
    value = reading_of("down_front_knee_inside")["value"]
    assert page.locator("#point-move").is_disabled()
    page.get_by_label("Point", exact=True).select_option("left knee")
    assert words(page) == "Where it was seen."
    page.get_by_role("button", name="Move with the arrow keys: left knee").focus()
    for _ in range(12):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowUp")
    settled(page)
    [move] = standing().corrections["keypoints"]
    assert (move["frame"], move["keypoint"]) == (frame, LEFT_KNEE)
    assert (move["x"], move["y"]) == pytest.approx((x + 12, y - 10), abs=0.8)  # each press is kept to a tenth
    assert abs(reading_of("down_front_knee_inside")["value"] - value) > 1.0
    assert words(page) == "Where you put it."
    assert page.evaluate("desk.film.frame") == frame, "the arrow keys moved the film"


def test_a_key_held_down_is_one_step_of_undo(open_desk):
    page = at_points(open_desk)
    x, y = place(page, LEFT_KNEE)
    page.get_by_label("Point", exact=True).select_option("left knee")
    page.locator("#point-move").focus()
    for _ in range(20):
        page.keyboard.down("ArrowRight")
    page.keyboard.up("ArrowRight")
    settled(page)
    assert place(page, LEFT_KNEE) == pytest.approx((x + 20, y), abs=0.06)
    page.keyboard.press("z")
    settled(page)
    assert placed() == []
    assert place(page, LEFT_KNEE) == pytest.approx((x, y), abs=0.06)


def test_moved_points_are_undone_and_done_again_where_they_were(open_desk):
    page = at_points(open_desk)
    frame = frame_of("foot_down")
    value = reading_of("down_front_knee")["value"]
    x, y = place(page, LEFT_KNEE)
    drag_in_clip(page, (x, y), (x + 22, y))
    go(page, frame + 2)
    x, y = place(page, LEFT_KNEE)
    drag_in_clip(page, (x, y), (x + 9, y))
    settled(page)
    moved = reading_of("down_front_knee")["value"]
    assert placed() == [(frame, LEFT_KNEE), (frame + 2, LEFT_KNEE)]
    page.keyboard.press("z")
    page.keyboard.press("z")
    settled(page)
    assert placed() == []
    assert reading_of("down_front_knee")["value"] == pytest.approx(value, abs=1e-6)
    until(page, f"desk.film.frame === {frame}")  # undo shows what it undid
    page.keyboard.press("Shift+Z")
    page.get_by_role("button", name="Do again").click()
    settled(page)
    assert sorted(placed()) == [(frame, LEFT_KNEE), (frame + 2, LEFT_KNEE)]
    assert reading_of("down_front_knee")["value"] == pytest.approx(moved, abs=1e-6)
    until(page, f"desk.film.frame === {frame + 2}")


def test_a_bat_that_was_not_seen_is_drawn_and_read(open_desk):
    page = at_points(open_desk)
    assert reading_of("down_bat_angle")["value"] is None
    page.get_by_label("Point", exact=True).select_option("end of the barrel")
    assert words(page).startswith("No bat seen here.")
    x, y = place(page, 15)
    box = page.evaluate("desk.film.bodies.at(desk.film.frame).box")
    side = 0.4 * (box[3] - box[1])  # along each edge of a bat as long as a bat is, half way up
    drag_in_clip(page, (x, y), (x - side, y - side))
    settled(page)
    [move] = standing().corrections["bat"]
    assert move["knob"] == pytest.approx((x, y), abs=1.0)
    assert move["barrel"] == pytest.approx((x - side, y - side), abs=1.0)
    read_again = reading_of("down_bat_angle")
    assert read_again["value"] == pytest.approx(45.0, abs=8.0)
    assert read_again["interval"][0] < 45.0 < read_again["interval"][1]
    page.get_by_role("button", name="As measured", exact=True).click()
    settled(page)
    assert standing().corrections["bat"] == []
    assert reading_of("down_bat_angle")["value"] is None


def test_a_click_draws_no_bat_without_length(open_desk):
    page = at_points(open_desk)
    page.get_by_label("Point", exact=True).select_option("end of the barrel")
    click_in_clip(page, *place(page, 15))
    page.wait_for_timeout(200)
    assert page.evaluate("desk.correcting.isClean")
    assert standing().corrections == {}


def test_a_point_that_was_not_seen_is_put_by_a_click(open_desk):
    page = at_points(open_desk)
    frame, heel = frame_of("foot_down"), place(page, 30)
    page.get_by_label("Point", exact=True).select_option("right toe")
    assert words(page) == "Not seen here. Click where it is."
    click_in_clip(page, heel[0] + 14, heel[1])
    settled(page)
    assert placed() == [(frame, RIGHT_TOE)]  # with the toe the foot may be down on another frame
    assert place(page, RIGHT_TOE) == pytest.approx((heel[0] + 14, heel[1]), abs=1.0)


def test_bat_and_missing_point_are_put_without_a_pointer(open_desk):
    page = at_points(open_desk)
    for name in ("right toe", "end of the barrel"):
        page.get_by_label("Point", exact=True).select_option(name)
        button = page.get_by_role("button", name=f"Put it in the film: {name}")
        button.focus()
        page.keyboard.press("Enter")
        page.get_by_role("button", name=f"Move with the arrow keys: {name}").wait_for()
        page.keyboard.press("Shift+ArrowRight")
    settled(page)
    held = standing().corrections
    assert (len(held["keypoints"]), len(held["bat"])) == (1, 1)
    [bat] = held["bat"]
    box = page.evaluate("desk.film.bodies.at(desk.film.frame).box")
    assert box[0] <= bat["knob"][0] <= box[2]
    assert bat["barrel"][0] == pytest.approx(bat["knob"][0] + 10, abs=0.2)


def test_one_point_goes_back_and_another_stays(open_desk):
    page = at_points(open_desk)
    frame = frame_of("foot_down")
    for keypoint in (LEFT_KNEE, 26):
        x, y = place(page, keypoint)
        drag_in_clip(page, (x, y), (x, y - 18))
    settled(page)
    page.get_by_label("Point", exact=True).select_option("left knee")
    page.get_by_role("button", name="As measured", exact=True).click()
    settled(page)
    assert placed() == [(frame, 26)]
    assert words(page) == "Where it was seen."
    assert page.locator("#point-back").is_disabled()


@pytest.mark.parametrize(("size", "scheme"), [("desktop", "dark"), ("phone", "light")])
def test_the_points_are_accessible_and_fit(open_desk, axe, shot, size, scheme):
    page = at_points(open_desk, **SIZES[size], color_scheme=scheme)
    size_before = page.evaluate("({...desk.film.viewport.size})")
    for name in ("left knee", "right toe", "knob of the bat"):
        page.get_by_label("Point", exact=True).select_option(name)
        page.evaluate("new Promise((go_on) => requestAnimationFrame(() => requestAnimationFrame(go_on)))")
        assert page.evaluate("({...desk.film.viewport.size})") == size_before, "the film grows or shrinks with the words"
    axe(page)
    fits(page)
    shot(page, f"desk-points-{size}-{scheme}")
