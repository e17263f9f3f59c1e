"""The desk's viewport: how large the film is, how it is looked at closer, and what is drawn on it then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from portal.desk.models import MarkUp, Rating
from tests.browser.desk_film import INSTANTS, until
from tests.browser.desk_pages import drag_in_clip, frame_of, go, on_page, settled, standing
from tests.browser.width import fits

pytest_plugins = ["tests.browser.desk_pages"]

LEFT_KNEE = 25  # of MediaPipe's 33 keypoints: a right-handed hitter's front knee
TABLET = {"viewport": {"width": 768, "height": 1024}, "has_touch": True, "is_mobile": True}


# In the page: all that its head can have, and at its longest.
LONG_HEAD = """() => {
  const made = document.createRange().createContextualFragment(`
    <form class="inline"><select><option>clip 12, swing 12 of 12, checked</option></select></form>
    <details class="family-note"><summary>Family note</summary><p>She says the bat feels heavy.</p></details>`);
  document.querySelector(".desk-head .due").before(made);
  document.getElementById("player-history").textContent = "Maximiliane Featherstonehaugh-Bellweather";
  const saved = document.getElementById("saved");
  saved.textContent = desk.messages.signed_out;
  saved.dataset.state = "signed_out";
}"""


# In the page: where everything in its head stands.
HEAD = """() => [...document.querySelectorAll(".desk-head > :not(.end), .desk-head button")].map((one) => {
  const { x, y, width } = one.getBoundingClientRect();
  return [x, y, width].map(Math.round);
})"""


def film_box(page: Any) -> dict[str, float]:
    return page.locator("#film").bounding_box()


def view(page: Any) -> dict[str, float]:
    return page.evaluate("({...desk.film.viewport.view})")


def in_clip(page: Any, x: float, y: float) -> list[float]:
    """Which place of the clip lies under a place of the page."""
    script = "([x, y]) => desk.film.viewport.clipPoint({ clientX: x, clientY: y })"
    return page.evaluate(script, [x, y])


def middle(page: Any) -> tuple[float, float]:
    box = film_box(page)
    return round(box["x"] + box["width"] / 2), round(box["y"] + box["height"] / 2)


def touching(page: Any) -> Callable[..., None]:
    """fingers(kind, *places): what a touch screen tells of the fingers on it."""
    touch = page.context.new_cdp_session(page)

    def fingers(kind: str, *points: tuple[float, float]) -> None:
        where = [{"x": px, "y": py, "id": n} for n, (px, py) in enumerate(points)]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": where})

    return fingers


def slide(page: Any, start: tuple[float, float], end: tuple[float, float]) -> None:
    """One finger over the film, from one place of the clip to another."""
    fingers, (x0, y0), (x1, y1) = touching(page), on_page(page, *start), on_page(page, *end)
    fingers("touchStart", (x0, y0))
    for step in range(1, 9):
        fingers("touchMove", (x0 + (x1 - x0) * step / 8, y0 + (y1 - y0) * step / 8))
    page.wait_for_timeout(200)  # comes to rest: after a fling the browser takes the next tap for its end
    fingers("touchEnd")


def take(page: Any, tool: str) -> None:
    """A tap on a tool, no sooner than a hand can; its click comes a moment later."""
    page.wait_for_timeout(500)
    box = page.locator(f"[data-tool={tool}]").first.bounding_box()
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    until(page, f"desk.film.tools.tool === '{tool}'", 15)


def test_the_film_is_large_and_keeps_its_size_whatever_the_tool(open_desk):
    page = open_desk("contact")
    sizes = []
    for tool in ("look", "line", "angle", "words", "points", "plate", "look"):
        page.evaluate("(tool) => desk.acts.tool(tool)", tool)
        sizes.append(film_box(page))
    page.evaluate("desk.film.marks.draw(desk.film.frame, [{kind: 'line', tone: 'seen', points: [[9, 9], [99, 99]]}])")
    sizes.append(film_box(page))
    page.evaluate(LONG_HEAD)
    sizes.append(film_box(page))
    assert sizes[0]["height"] >= 520
    assert all(size == sizes[0] for size in sizes)
    for part in ("#saved", "#keys-open"):
        box = page.locator(part).bounding_box()
        assert box["width"] > 0
        assert page.evaluate(
            "(part) => document.querySelector(part).scrollHeight <= document.querySelector(part).clientHeight + 1", part
        )
        assert box["x"] + box["width"] <= 1280


@pytest.mark.parametrize("size", [(1000, 700), (1024, 700), (1180, 800)])
def test_a_small_laptop_has_every_tool_the_frames_time_and_one_line_of_head(open_desk, desk_of, size):
    _coach, review = desk_of
    review.submission.note = "She says the bat feels heavy."
    review.submission.save(update_fields=["note"])
    page = open_desk("set_up", viewport={"width": size[0], "height": size[1]})
    assert page.locator(".desk-head").bounding_box()["height"] == 52
    rail = page.locator(".bar.tools").bounding_box()
    for button in page.locator(".bar.tools button:visible").all():
        box = button.bounding_box()
        assert rail["y"] <= box["y"], button
        assert box["y"] + box["height"] <= rail["y"] + rail["height"] + 1, button
    for stop in INSTANTS:
        page.evaluate("(stop) => desk.walk.go(stop)", stop)
        until(page, f"desk.film.frame === {frame_of(stop)}")
        assert page.evaluate(
            "((words) => words.scrollWidth <= words.clientWidth)(document.getElementById('frame-words'))"
        )
    before, film = page.evaluate(HEAD), film_box(page)
    page.evaluate("document.getElementById('saved').textContent = desk.messages.saved_minutes.replace('{n}', '59')")
    assert page.evaluate(HEAD) == before, "“Saved” moves what is beside it"
    page.evaluate(LONG_HEAD)
    assert film_box(page) == film
    keys = page.locator("#keys-open").bounding_box()
    assert keys["x"] + keys["width"] <= size[0]


def test_the_hitter_fills_the_viewport_on_opening(open_desk):
    page = open_desk("contact")
    (x0, y0, x1, y1), box = page.evaluate("desk.film.clip.hitter"), film_box(page)
    left, top = on_page(page, x0, y0)
    right, bottom = on_page(page, x1, y1)
    assert max((right - left) / box["width"], (bottom - top) / box["height"]) == pytest.approx(1, abs=0.01)
    assert box["x"] - 1 <= left < right <= box["x"] + box["width"] + 1
    assert page.locator("#fit-hitter").get_attribute("aria-pressed") == "true"
    page.keyboard.press("0")
    assert page.evaluate("desk.film.viewport.isWhole")
    page.keyboard.press("9")
    assert on_page(page, x0, y0) == pytest.approx((left, top))


def test_wheel_and_double_click_look_closer_where_the_pointer_is(open_desk):
    page = open_desk("contact")
    x, y = middle(page)
    at = (x + 60, y - 40)
    page.mouse.move(*at)
    for act in (lambda: page.mouse.wheel(0, -250), lambda: page.mouse.dblclick(*at)):
        before, there = view(page)["scale"], in_clip(page, *at)
        act()
        until(page, f"desk.film.viewport.view.scale > {before * 1.5}")
        assert in_clip(page, *at) == pytest.approx(there, abs=0.01)
    page.mouse.wheel(0, 9000)
    until(page, "desk.film.viewport.isWhole")


def test_a_line_drawn_closer_lies_on_the_same_pixels_of_the_film(open_desk):
    page = open_desk("contact")
    page.evaluate("desk.film.tools.snaps = () => false")  # where joints lie goes by the method, and a line's end may snap to one
    page.keyboard.press("l")
    for _ in range(3):
        start, end = in_clip(page, *middle(page)), [v + 12 for v in in_clip(page, *middle(page))]
        drag_in_clip(page, tuple(start), tuple(end))
        drawn = page.evaluate("desk.film.marks.at(desk.film.frame).shapes.at(-1).points")
        assert [*drawn[0], *drawn[1]] == pytest.approx([*start, *end], abs=1.0 / view(page)["scale"] + 0.06)
        page.keyboard.press("+")


def test_the_space_bar_moves_the_film_with_any_tool_and_else_plays(open_desk):
    page = open_desk("contact")
    page.keyboard.press("l")
    page.keyboard.press("+")
    page.keyboard.press("+")
    before, (x, y) = view(page), middle(page)
    page.mouse.move(x, y)
    page.keyboard.down(" ")
    page.mouse.down()
    page.mouse.move(x + 50, y + 20, steps=4)
    page.mouse.up()
    page.keyboard.up(" ")
    assert view(page) == pytest.approx({**before, "x": before["x"] + 50, "y": before["y"] + 20})
    assert page.evaluate("desk.film.tools.shapes.length === 0 && !desk.film.play.isOn")
    page.keyboard.press(" ")
    until(page, "desk.film.play.isOn")
    page.keyboard.press(" ")
    until(page, "!desk.film.play.isOn")


def test_two_fingers_pinch_and_move_and_draw_nothing(open_desk):
    page = open_desk("contact", **TABLET)
    page.evaluate("desk.acts.tool('line')")
    x, y = middle(page)
    before, there = view(page)["scale"], in_clip(page, x, y)
    fingers = touching(page)
    fingers("touchStart", (x - 40, y))
    fingers("touchStart", (x - 40, y), (x + 40, y))
    for step in range(1, 9):
        fingers("touchMove", (x - 40 - 5 * step, y), (x + 40 + 5 * step, y))
    fingers("touchEnd")
    assert view(page)["scale"] == pytest.approx(2 * before, rel=0.02)
    assert in_clip(page, x, y) == pytest.approx(there, abs=1)
    assert page.evaluate("desk.film.tools.shapes.length === 0 && desk.film.tools.growing === null")


def test_on_a_tablet_the_film_stays_in_view_while_the_coach_rates(open_desk):
    page = open_desk("contact", **TABLET)
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    box = film_box(page)
    assert page.evaluate("scrollY > 100")
    assert box["y"] == pytest.approx(0, abs=1)
    assert box["height"] >= 400


def in_view(page: Any) -> bool:
    """The whole film lies on the screen."""
    box, size = film_box(page), page.viewport_size
    return box["y"] >= -1 and box["y"] + box["height"] <= size["height"] + 1 and box["height"] >= 300


@pytest.mark.parametrize("size", [(768, 1024), (1024, 768)], ids=["upright", "lying"])
def test_a_finger_draws_moves_a_keypoint_and_rates_while_the_film_stays_in_view(open_desk, axe, shot, size):
    page = open_desk("foot_down", **{**TABLET, "viewport": {"width": size[0], "height": size[1]}})
    frame = frame_of("foot_down")
    go(page, frame)
    take(page, "line")
    box = film_box(page)
    at = [(box["x"] + 0.06 * box["width"], box["y"] + share * box["height"]) for share in (0.3, 0.6)]
    start, end = (in_clip(page, *place) for place in at)  # beside the hitter: nothing to snap to
    slide(page, start, end)
    [line] = page.evaluate("desk.film.tools.shapes")
    assert line["kind"] == "line"
    assert [*line["points"][0], *line["points"][1]] == pytest.approx([*start, *end], abs=1.0)
    take(page, "points")
    x, y = page.evaluate("desk.film.bodies.at(desk.film.frame).points")[LEFT_KNEE][:2]
    slide(page, (x, y), (x + 22, y - 6))
    settled(page)
    [moved] = standing().corrections["keypoints"]
    assert (moved["frame"], moved["keypoint"]) == (frame, LEFT_KNEE)
    assert (moved["x"], moved["y"]) == pytest.approx((x + 22, y - 6), abs=1.5)
    assert len(page.evaluate("desk.film.tools.shapes")) == 1, "the finger on the keypoint drew"
    assert in_view(page)
    until(page, "!document.getElementById('restore').hidden")
    bar, put = (page.locator(one).bounding_box() for one in (".bar.frames", "#put-here"))
    assert put["x"] + put["width"] <= bar["x"] + bar["width"], "a button lies over the cards"
    cards = page.locator(".stop-card:not([hidden]) .point")
    for nth in range(cards.count()):
        label = cards.nth(nth).locator("label:has(input[value=good])")
        label.evaluate("(node) => node.scrollIntoView({ block: 'center' })")
        box = label.bounding_box()
        page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        rated = cards.nth(nth).get_attribute("data-checkpoint")
        until(page, f"desk.data.ratings['{rated}']?.rate === 'good'")
        assert in_view(page), f"the film is gone when {rated} is rated"
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    assert Rating.objects.filter(rate="good").count() == cards.count()
    assert MarkUp.objects.get().shapes == page.evaluate("desk.film.tools.shapes")
    axe(page)
    fits(page)
    shot(page, f"desk-touch-{size[0]}")


# ------------------------------------------------------------------------------------------- the time line


def at_frame(page: Any, frame: int) -> tuple[float, float]:
    """Where the time line has a frame."""
    box, count = page.locator("#timeline").bounding_box(), page.evaluate("desk.film.reel.count")
    return box["x"] + box["width"] * (frame + 0.5) / count, box["y"] + box["height"] / 2


def test_the_time_line_shows_the_swing_its_instants_by_name_and_where_the_film_stands(open_desk):
    page = open_desk("contact")
    assert page.locator("#timeline .span.here").count() == 1
    assert page.locator("#timeline .instant").count() == 7
    names = page.locator("#timeline .names span").all_text_contents()
    assert "Contact" in names
    assert "Foot down" in names
    contact = frame_of("contact")
    slider = page.get_by_role("slider", name="The whole clip")
    assert slider.get_attribute("aria-valuenow") == str(contact)
    assert slider.get_attribute("aria-valuetext") == f"Contact, frame {contact}"
    needle = page.locator("#timeline .needle").bounding_box()
    assert needle["x"] + needle["width"] / 2 == pytest.approx(at_frame(page, contact)[0], abs=1.5)


def test_the_time_line_seeks_exactly_by_click_drag_and_keys(open_desk):
    page = open_desk("contact")
    for frame in (0, 3, 91, 179):
        page.mouse.click(*at_frame(page, frame))
        until(page, f"desk.film.frame === {frame}")
    page.mouse.move(*at_frame(page, 20))
    page.mouse.down()
    page.mouse.move(*at_frame(page, 140), steps=12)
    page.mouse.move(at_frame(page, 150)[0], 10, steps=3)  # the hand slips off the line
    page.mouse.up()
    until(page, "desk.film.frame === 150")
    page.locator("#timeline").focus()
    for key, frame in (("Home", 0), ("ArrowUp", 1), ("ArrowRight", 2), ("PageUp", 20), ("End", 179), ("PageDown", 161)):
        page.keyboard.press(key)
        until(page, f"desk.film.frame === {frame}")


def test_the_swing_plays_again_and_again_until_it_is_stopped(open_desk):
    page = open_desk("contact")
    page.evaluate(
        "window.rounds = 0; desk.film.reel.addEventListener('shown', () => desk.film.frame === desk.film.stretch()[0] && rounds++)"
    )
    page.locator("#rate").select_option("1")
    page.keyboard.press("j")
    assert page.locator("#loop").get_attribute("aria-pressed") == "true"
    page.evaluate("(frame) => desk.film.goTo(frame)", page.evaluate("desk.film.stretch()[1] - 5"))
    page.keyboard.press(" ")
    until(page, "rounds >= 2")
    page.keyboard.press(" ")
    until(page, "!desk.film.play.isOn")
    page.keyboard.press(",")
    assert page.evaluate("desk.film.play.rate") == 0.5
    page.keyboard.press(".")
    assert page.evaluate("desk.film.play.rate") == 1


def test_the_film_area_is_clear_to_everybody(open_desk, axe):
    for scheme in ("light", "dark"):
        page = open_desk("contact", color_scheme=scheme)
        page.locator("#timeline").focus()
        axe(page)
