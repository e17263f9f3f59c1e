"""Lists that are chosen from stand in one line on a phone: the chosen one in view, all of them within reach, and nothing moves."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.browser.width import fits
from tests.portal.conftest import make_user

# What lies on the screen of each link of the line: its left, right and top edge, its height.
EDGES = """links => links.map((one) => {
  const { left, right, top, height } = one.getBoundingClientRect();
  return { left, right, top, height };
})"""
PLACES = ("/owner/outbox/", "/queue/?list=published", "/drills/?stop=finish")  # each chosen far to the right
CHOSEN = "nav > .filter [aria-current]"


@pytest.fixture
def owner(site):
    return make_user("oda@example.org", "Oda Verne", is_staff=True, is_superuser=True)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_lists_are_one_line_and_begin_at_the_chosen_one(open_page, sign_in, owner, axe, scripts):
    page = open_page(**PHONE, java_script_enabled=scripts)
    sign_in(page, owner)
    for place in PLACES:
        page.goto(place)
        edges = page.locator("nav > .filter a").evaluate_all(EDGES)
        assert len({one["top"] for one in edges}) == 1, place
        assert min(one["height"] for one in edges) >= 44
        assert edges[0]["left"] < 0, place  # there are more than the phone is wide
        expect(page.locator(CHOSEN)).to_be_in_viewport(ratio=1)
        assert page.evaluate("scrollY") == 0
        if scripts:
            fits(page)
            axe(page)


def test_the_keyboard_reaches_every_list(page_phone, sign_in, owner):
    sign_in(page_phone, owner)
    page_phone.goto("/queue/")
    links = page_phone.locator("nav > .filter a")
    expect(links.last).not_to_be_in_viewport()
    links.first.focus()
    for n in range(1, links.count()):
        page_phone.keyboard.press("Tab")
        expect(links.nth(n)).to_be_focused()
        expect(links.nth(n)).to_be_in_viewport(ratio=1)


def test_a_browser_that_cannot_begin_at_the_chosen_one_is_helped(page_phone, sign_in, owner):
    page_phone.add_init_script("CSS.supports = () => false")
    sign_in(page_phone, owner)
    page_phone.goto("/owner/health/")
    (edges,) = page_phone.locator(CHOSEN).evaluate_all(EDGES)
    assert (edges["left"] + edges["right"]) / 2 == pytest.approx(PHONE["viewport"]["width"] / 2, abs=1)
