"""The frame shown is the frame asked for: read off the canvas of the real desk, by stills and by the review copy.

The clip has a variable rate and B-frames; its products are made by the very code that measuring uses.
"""

from __future__ import annotations

import io
import os
import random
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.browser.desk_film import READ_NUMBER, WALK, coach_with_film, until, write_film
from tests.films.numbered import read_number

FRAMES = 260
STEPS = int(os.environ.get("FRAME_STEPS", "150"))  # `make frames`: 10,000
WAYS = ("stills", "copy", "both")


@pytest.fixture(scope="session")
def film() -> tuple[Path, dict[str, Any]]:
    return write_film(frames=FRAMES, size=(640, 360), fps=60, jitter=0.8)


@pytest.fixture
def desk_of(site, film):
    """The coach with the numbered clip on their desk."""
    return coach_with_film(*film)


@pytest.fixture
def open_desk(page_desktop, sign_in, desk_of):
    """open_desk(way): the desk with the film alone in its viewport, noting every number that is ever drawn."""

    def open_one(way: str) -> Any:
        page, (coach, review) = page_desktop, desk_of
        page.add_init_script("localStorage.setItem('desk-skeleton', 'off')" + READ_NUMBER)
        sign_in(page, coach)
        page.goto(f"/submissions/{review.submission_id}/desk/?film={way}")
        page.wait_for_selector("body[data-ready]")
        until(page, "window.desk.film.frame >= 0")
        page.evaluate(
            """() => {
              window.drawn = [];
              const { film } = window.desk;
              film.viewport.fit("whole"); // the number stands along the whole lower edge
              film.reel.addEventListener("shown", (event) => window.drawn.push([event.detail.frame, window.numberShown()]));
            }"""
        )
        if way != "stills":
            until(page, "desk.film.frames.codec")  # stills stand before it is there
        return page

    return open_one


def go(page: Any, frame: int) -> bool:
    return page.evaluate("(frame) => window.desk.film.goTo(frame)", frame)


def wrong(page: Any) -> list[Any]:
    return page.evaluate("() => window.drawn.filter(([asked, shown]) => asked !== shown)")


@pytest.mark.parametrize("way", WAYS)
def test_every_frame_drawn_is_the_frame_asked_for(open_desk, way):
    page = open_desk(way)
    assert page.evaluate("Boolean(window.desk.film.frames.codec)") is (way != "stills")
    told = page.evaluate(f"{WALK}; walk({STEPS}, 7)")
    print(f"Chromium, {way}: {told['drawn']} frames drawn, {len(told['wrong'])} wrong")
    assert told == {"drawn": STEPS, "wrong": []}


@pytest.mark.parametrize("way", WAYS)
def test_keys_held_down_never_show_a_wrong_frame_and_end_at_the_right_one(open_desk, way):
    page = open_desk(way)
    go(page, 100)
    for _ in range(60):
        page.keyboard.press("ArrowRight")
    for _ in range(3):
        page.keyboard.press("Shift+ArrowLeft")
    until(page, "window.desk.film.frame === 130")
    assert page.evaluate("window.numberShown()") == 130
    assert page.locator("#frame-words").text_content().startswith("frame 130 of 260")
    assert wrong(page) == []


def test_wishes_that_overtake_each_other_leave_the_newest(open_desk):
    page = open_desk("both")
    outcomes = page.evaluate("() => Promise.all([5, 250, 17, 133, 90].map((frame) => window.desk.film.goTo(frame)))")
    assert outcomes[-1] is True
    assert page.evaluate("window.numberShown()") == 90
    assert wrong(page) == []


def test_the_picture_read_outside_the_browser_says_the_same(open_desk):
    """Another reader, on the picture as Chromium writes it out: tests/films/numbered.py over a PNG of the page."""
    page = open_desk("both")
    for frame in (0, 61, 62, 200, FRAMES - 1):
        go(page, frame)
        view = page.evaluate("({...window.desk.film.viewport.view, ...window.desk.film.clip})")
        shown = Image.open(io.BytesIO(page.locator("#film-canvas").screenshot()))
        left, top = view["x"], view["y"]
        box = (left, top, left + view["width"] * view["scale"], top + view["height"] * view["scale"])
        assert read_number(shown.crop(tuple(round(edge) for edge in box)).convert("RGB")) == frame


def test_a_broken_copy_ends_in_stills_and_not_in_a_wrong_frame(open_desk):
    page = open_desk("both")
    page.evaluate("() => window.desk.film.frames.codec.table.samples.forEach((sample) => (sample[0] += 5))")
    dice = random.Random(3)
    for _ in range(40):
        assert go(page, dice.randrange(FRAMES))
        until(page, "!desk.film.frames.decoding.size")  # what is overtaken counts as no fault
    assert wrong(page) == []
    assert page.evaluate("window.desk.film.frames.codec") is None


def test_play_draws_every_frame_of_the_swing_in_order(open_desk):
    page = open_desk("stills")
    page.keyboard.press("Home")
    until(page, "window.desk.film.frame === 52")
    page.evaluate("() => { window.drawn.length = 0; }")
    page.locator("#rate").select_option("0.25")
    page.locator("body").click(position={"x": 5, "y": 5})
    page.keyboard.press("Space")
    until(page, "!window.desk.film.play.isOn && window.desk.film.frame === 208")
    frames = [asked for asked, _shown in page.evaluate("window.drawn")]
    assert wrong(page) == []
    assert frames == sorted(frames)
    assert frames[-1] == 208
    assert page.locator("#play").text_content() == "Play"
