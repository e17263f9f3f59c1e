"""What the desk drafts for the one thing: never the opposite of what was measured."""

from __future__ import annotations

from typing import Any

import pytest

from portal.desk.models import Review
from portal.measuring import door
from tests.browser.desk_film import until
from tests.browser.desk_pages import ready, standing

pytest_plugins = ["tests.browser.desk_pages"]
KNEE = door.checkpoint("down_front_knee")  # the first of its stop


def saved(page: Any) -> str:
    """The one thing's words, once all is sent."""
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    return Review.objects.get().thing_words


def reads(value: float, call: str) -> None:
    """The knee reads as this, give or take two degrees."""
    held = standing()
    for swing in held.result["swings"]:
        for reading in swing["readings"]:
            if reading["checkpoint"] == KNEE.id:
                reading.update(value=value, interval=[value - 2.0, value + 2.0], band=[25.0, 60.0], call=call)
    held.save(update_fields=["result"])


@pytest.mark.parametrize(("value", "side"), [(12.0, "low"), (74.0, "high")])
def test_too_little_and_too_much_draft_what_helps_against_each(open_desk, desk_of, value, side):
    reads(value, "out of range")
    page = open_desk("foot_down")
    page.keyboard.press("t")
    assert saved(page) == f"{KNEE.words_for(side)} {KNEE.why}"
    page.keyboard.press("u")
    assert page.locator("#thing-words").is_visible()
    assert page.locator("#thing-sides").is_hidden()


def test_where_the_side_is_not_sure_the_coach_is_asked(open_desk, desk_of):
    reads(60.0, "too close to call")
    page = open_desk("foot_down")
    page.keyboard.press("t")
    assert saved(page) == KNEE.why
    page.keyboard.press("u")
    ways = page.locator("#thing-sides button")
    assert [KNEE.low_words in ways.nth(0).text_content(), KNEE.high_words in ways.nth(1).text_content()] == [True, True]
    ways.nth(1).click()
    assert saved(page) == f"{KNEE.high_words} {KNEE.why}"
    assert page.locator("#thing-sides").is_hidden()


def test_the_books_sentence_turns_when_the_reading_is_surely_on_the_other_side(open_desk, desk_of):
    reads(12.0, "out of range")
    page = open_desk("foot_down")
    page.keyboard.press("t")
    assert saved(page) == f"{KNEE.low_words} {KNEE.why}"
    reads(74.0, "out of range")
    page.reload()
    ready(page)
    assert saved(page) == f"{KNEE.high_words} {KNEE.why}"


def test_a_correction_turns_the_books_sentence_and_leaves_the_coachs_own(open_desk, desk_of):
    reads(12.0, "out of range")
    page = open_desk("foot_down")
    page.keyboard.press("t")
    saved(page)
    reads(74.0, "out of range")
    fresh = """(async (id) => {
      const html = await (await fetch(desk.data.urls.cards)).text();
      desk.cards.refresh(html);
      desk.writeUp.follow(desk.cards.missed(id));
    })"""
    page.evaluate(fresh, KNEE.id)
    assert saved(page) == f"{KNEE.high_words} {KNEE.why}"
    page.keyboard.press("u")
    page.locator("#thing-words").fill("Sit a little less.")
    page.locator("#thing-words").blur()
    reads(12.0, "out of range")
    page.evaluate(fresh, KNEE.id)
    assert saved(page) == "Sit a little less."


def first_drill(page: Any) -> tuple[str, str]:
    """Title and tag of the drill that is offered first."""
    first = page.locator("#drills li").first
    return first.locator("b").text_content(), first.locator(".tag").text_content()


def test_the_first_drill_helps_on_the_side_that_is_missed(open_desk, desk_of, shot):
    reads(74.0, "out of range")
    page = open_desk("foot_down")
    page.keyboard.press("t")
    page.keyboard.press("u")
    page.locator("#library summary").click()
    assert first_drill(page) == ("The tape on the wall", "trains the one thing: helps when it is “too bent”")
    other = page.locator("#drills li", has_text="Two soft knees")
    assert other.locator(".tag").text_content() == "for the other side: helps when it is “too straight”"
    page.locator("#library").scroll_into_view_if_needed()
    shot(page, "desk-drills")
    reads(12.0, "out of range")
    page.reload()
    ready(page)
    assert first_drill(page) == ("Thin ice", "trains the one thing: helps when it is “too straight”")


def test_the_key_that_assigns_a_drill_says_which(open_desk, desk_of):
    reads(74.0, "out of range")
    page = open_desk("foot_down")
    page.keyboard.press("t")
    page.keyboard.press("q")
    assert page.locator("#said").inner_text() == "The tape on the wall assigned"


def test_where_the_side_is_not_sure_drills_say_theirs_until_the_coach_has_said_it(open_desk, desk_of):
    reads(60.0, "too close to call")
    page = open_desk("foot_down")
    page.keyboard.press("t")
    page.keyboard.press("u")
    tags = set(page.locator("#drills .tag").all_text_contents())
    assert tags == {
        "trains the one thing: helps when it is “too straight”",
        "trains the one thing: helps when it is “too bent”",
    }
    page.locator("#thing-sides button").nth(1).click()
    assert first_drill(page) == ("The tape on the wall", "trains the one thing: helps when it is “too bent”")
