"""Every press on the desk's cards counts: nothing moves under the pointer, in a real Chromium."""

from __future__ import annotations

import os
import random
from typing import Any

import pytest

from portal.desk.models import Rating
from tests.browser.conftest import PHONE
from tests.browser.desk_film import INSTANTS, until
from tests.browser.desk_pages import standing

pytest_plugins = ["tests.browser.desk_pages"]
RATES = ("good", "watch", "work_on")
PRESSES = 200 if os.environ.get("CAGENOTE_ALL_KILLS") else 50
TOPS = """(at) => {
  const above = [...document.querySelectorAll(".stop-card:not([hidden]) .point")];
  return [document.querySelector(".desk-head").offsetHeight, ...above.slice(0, above.indexOf(at) + 1).map(
    (one) => Math.round(one.querySelector(".rate").getBoundingClientRect().top))];
}"""


def a_rating(page: Any, chance: random.Random) -> tuple[Any, str, str]:
    """A rating of a card that has not the eye: its label, the checkpoint and the rate."""
    cards = page.locator(".stop-card:not([hidden]) .point:not(.here)")
    card = cards.nth(chance.randrange(cards.count()))
    rate = chance.choice(RATES)
    checkpoint = card.get_attribute("data-checkpoint")
    label = page.locator(f"[data-checkpoint={checkpoint}] label:has(input[value={rate}])")  # stays when the eye goes
    label.evaluate("(one) => one.scrollIntoView({block: 'center'})")
    return label, checkpoint, rate


def test_not_one_of_two_hundred_presses_is_lost(open_desk):
    page = open_desk("foot_down")
    chance = random.Random(20)
    lost = []
    said = {}
    for n in range(PRESSES):
        if n % 20 == 0:
            stop = INSTANTS[n // 20 % len(INSTANTS)]
            if page.locator(f"[data-card={stop}] .point").count() < 2:
                stop = "foot_down"
            page.evaluate("(stop) => desk.walk.go(stop)", stop)
        label, checkpoint, rate = a_rating(page, chance)
        box = label.bounding_box()
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.mouse.down()
        page.mouse.up()
        said[checkpoint] = rate
        if page.evaluate("(id) => desk.data.ratings[id]?.rate", checkpoint) != rate:
            lost.append((n, checkpoint, rate))
    print(f"{PRESSES} presses on ratings, {len(lost)} lost")
    assert lost == []
    until(page, "desk.saving.isClean")
    assert dict(Rating.objects.values_list("checkpoint", "rate")) == said


def test_nothing_above_the_pointer_moves_while_a_card_opens(open_desk):
    page = open_desk("foot_down")
    chance = random.Random(4)
    for _ in range(12):
        label, checkpoint, _rate = a_rating(page, chance)
        card = page.locator(f"[data-checkpoint={checkpoint}]").element_handle()
        before = page.evaluate(TOPS, card)
        box = label.bounding_box()
        page.mouse.move(box["x"] + 4, box["y"] + box["height"] / 2)
        page.mouse.down()
        page.wait_for_timeout(80)
        assert page.evaluate(TOPS, card) == before, "between press and release"
        page.mouse.up()
        page.locator(f"[data-checkpoint={checkpoint}] .definition").wait_for()
        assert page.evaluate(TOPS, card) == before, "after the click"


def test_a_tap_on_a_phone_is_not_lost_either(open_desk):
    page = open_desk("foot_down", **PHONE)
    chance = random.Random(6)
    for _ in range(12):
        label, checkpoint, rate = a_rating(page, chance)
        before = label.bounding_box()
        page.touchscreen.tap(before["x"] + before["width"] / 2, before["y"] + before["height"] / 2)
        until(page, f"desk.data.ratings.{checkpoint}?.rate === '{rate}'")
        assert label.bounding_box()["y"] == pytest.approx(before["y"], abs=1), "the card slid away under the finger"


def test_news_and_fresh_readings_wait_until_the_pointer_is_up(open_desk):
    page = open_desk("foot_down")
    label = page.locator(".stop-card:not([hidden]) .point").nth(3).locator("label").first
    label.evaluate("(node) => node.scrollIntoView({ block: 'center' })")
    box = label.bounding_box()
    page.mouse.move(box["x"] + 4, box["y"] + 4)
    page.mouse.down()
    page.evaluate(
        "desk.correcting.dispatchEvent(new CustomEvent('refused', {detail: 'told while the button is down'}))"
    )
    page.wait_for_timeout(150)
    assert label.bounding_box() == box
    page.mouse.up()
    page.get_by_text("told while the button is down").wait_for()
    until(page, "Object.keys(desk.data.ratings).length === 1")


def test_a_reading_that_comes_while_the_button_is_down_changes_the_cards_after_it(open_desk):
    page = open_desk("foot_down")
    held = standing()
    for reading in held.result["swings"][0]["readings"]:
        reading.update(
            value=None, call="not readable", reason="a reason so long that it takes more lines than one " * 3
        )
    held.save(update_fields=["result"])
    label = page.locator(".stop-card:not([hidden]) .point").nth(3).locator("label").first
    label.evaluate("(node) => node.scrollIntoView({ block: 'center' })")
    box = label.bounding_box()
    page.mouse.move(box["x"] + 4, box["y"] + 4)
    page.mouse.down()
    page.evaluate("desk.byHand.freshCards()")
    page.wait_for_timeout(300)
    assert label.bounding_box() == box
    page.mouse.up()
    page.locator(".stop-card:not([hidden])").get_by_text("a reason so long").first.wait_for()
    until(page, "Object.keys(desk.data.ratings).length === 1")
