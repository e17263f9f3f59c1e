"""The coach's phrase book while writing, and the first draft."""

from __future__ import annotations

from typing import Any

import pytest

from portal.desk.headline import headline
from portal.desk.models import Phrase, Rating, Review
from portal.measuring import door
from tests.browser.desk_film import until
from tests.browser.desk_pages import standing
from tests.browser.width import fits

pytest_plugins = ["tests.browser.desk_pages"]
KNEE = door.checkpoint("down_front_knee")


@pytest.fixture
def book(desk_of):
    coach, _review = desk_of
    for text, part, about, side in (
        ("{name}, your head is quiet and your eyes are on the ball.", "good", "", ""),
        ("{He} keep{s} {his} balance to the very end.", "good", "", ""),
        ("Hi {name}, thank you for the film.", "greeting", "", ""),
        ("Write to me when you have tried it.", "closing", "", ""),
        ("Sit a little deeper when you land.", "thing", KNEE.id, "low"),
        ("Be tall when you land.", "thing", KNEE.id, "high"),
    ):
        Phrase.objects.create(coach=coach, text=text, part=part, checkpoint=about, side=side)


def saved(page: Any) -> Review:
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    return Review.objects.get()


def test_the_start_of_a_phrase_and_enter_put_it_in(book, open_desk, shot):
    page = open_desk("foot_down")
    page.keyboard.press("u")
    page.locator("#good-add").click()
    until(page, "desk.phrases.all.length >= 6")
    page.keyboard.type("He keep")
    assert page.locator("#phrase-list").is_hidden()  # "they" is said until the coach says otherwise
    page.locator("#pronoun").select_option("he")
    box = page.locator("#good textarea").last
    box.fill("")
    box.press_sequentially("he keeps")
    page.locator("#phrase-list").wait_for()
    shot(page, "desk-phrases")
    page.keyboard.press("Enter")
    assert box.input_value() == "He keeps his balance to the very end."
    page.keyboard.type(" your head")
    page.keyboard.press("Enter")
    review = saved(page)
    assert review.good == [
        "He keeps his balance to the very end. Ida, your head is quiet and your eyes are on the ball."
    ]
    assert review.pronoun == "he"


def test_escape_closes_the_list_and_the_field_stays(book, open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("u")
    page.locator("#greeting").click()
    until(page, "desk.phrases.all.length >= 6")
    page.keyboard.type("Hi I")
    page.locator("#phrase-list").wait_for()
    page.keyboard.press("Escape")
    assert page.locator("#phrase-list").is_hidden()
    page.keyboard.press("Enter")
    page.keyboard.type("a")
    assert page.locator("#greeting").input_value() == "Hi I\na"


def test_the_first_draft_goes_by_ratings_sides_and_phrases_and_is_one_undo(book, open_desk, desk_of, shot, axe):
    _coach, review = desk_of
    held = standing()
    for swing in held.result["swings"]:
        for reading in swing["readings"]:
            if reading["checkpoint"] == KNEE.id:
                reading.update(value=74.0, interval=[72.0, 76.0], band=[25.0, 60.0], call="out of range")
    held.save(update_fields=["result"])
    Rating.objects.create(review=review, checkpoint=KNEE.id, rate="work_on")
    Rating.objects.create(review=review, checkpoint="finish_balance", rate="good")
    page = open_desk("foot_down")
    page.keyboard.press("u")
    page.get_by_role("button", name="Make a first draft").click()
    until(page, "desk.writeUp.draft.thing_title")
    made = saved(page)
    assert made.thing_checkpoint == KNEE.id
    assert made.thing_title == headline(KNEE.high_words)
    assert made.thing_words == f"Be tall when you land. {KNEE.why}"
    assert made.good == [door.checkpoint("finish_balance").good_words]
    assert made.greeting == "Hi Ida, thank you for the film."
    assert made.closing == "Write to me when you have tried it."
    assert made.assignments.get().drill.slug == "tape-on-the-wall"
    assert page.locator("#first-draft-offer").is_hidden()
    assert page.locator("#write-up").inner_text().index("The one thing") < page.locator("#write-up").inner_text().index(
        "Greeting"
    )
    axe(page)
    shot(page, "desk-first-draft")
    page.keyboard.press("Escape")
    page.keyboard.press("Control+z")
    until(page, "!desk.writeUp.draft.thing_title && !desk.plan.assignments.length")
    undone = saved(page)
    assert (undone.thing_checkpoint, undone.good, undone.greeting, undone.closing) == ("", [], "", "")


@pytest.mark.parametrize("width", [360, 1280])
def test_the_phrase_book_fits_and_is_accessible(book, desk_of, open_page, sign_in, axe, shot, width):
    coach, _review = desk_of
    page = open_page(viewport={"width": width, "height": 800})
    sign_in(page, coach)
    page.goto("/phrases/")
    page.locator("details summary").first.click()
    fits(page)
    axe(page)
    shot(page, f"phrases-{width}")
