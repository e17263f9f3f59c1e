"""The browser fixtures themselves: a page is served as in production, and complaints are really caught."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from portal.people.models import User
from tests.browser.width import fits


def test_look_page_loads_its_hashed_styles_and_passes_axe(page_phone, sign_in, axe):
    sign_in(page_phone, User.objects.create_user("maren@example.org", name="Maren Oduya", is_coach=True))
    page_phone.goto("/look/")
    sheets = page_phone.eval_on_selector_all("link[rel=stylesheet]", "links => links.map(link => link.href)")
    assert sheets
    assert all(len(sheet.split("/")[-1].split(".")) == 3 for sheet in sheets)  # name.hash.css
    axe(page_phone)


def test_axe_finds_a_picture_without_words(page_desktop, axe):
    page_desktop.goto("/")
    page_desktop.evaluate("document.querySelector('main').append(document.createElement('img'))")
    with pytest.raises(AssertionError, match="image-alt"):
        axe(page_desktop)


def test_inline_script_is_refused_by_the_policy_and_noticed(page_desktop):
    page_desktop.goto("/")
    page_desktop.evaluate(
        "() => { const s = document.createElement('script'); s.textContent = 'ran = true'; document.body.append(s) }"
    )
    while not page_desktop.watch.complaints:  # which the browser tells in its own time
        page_desktop.wait_for_event("console")
    assert page_desktop.evaluate("window.ran") is None
    assert any("Content Security Policy" in complaint for complaint in page_desktop.watch.complaints)
    page_desktop.watch.complaints.clear()


def test_a_missing_page_complains_unless_allowed(page_desktop):
    with page_desktop.watch.allowing("404"):
        assert page_desktop.goto("/no-such-page/").status == 404
    assert page_desktop.watch.complaints == []


def test_what_sticks_out_of_a_phone_is_noticed_and_named(page_phone):
    """Its layout viewport grows along, so the page must be held against the window it was opened with."""
    page_phone.goto("/")
    fits(page_phone)
    page_phone.evaluate(
        "() => { const wide = document.createElement('div'); wide.id = 'too-wide'; wide.style.width = '900px';"
        " wide.textContent = 'wide'; document.querySelector('main').append(wide) }"
    )
    assert page_phone.evaluate("document.documentElement.scrollWidth <= innerWidth"), "the comparison that cannot fail"
    with pytest.raises(AssertionError, match="too-wide"):
        fits(page_phone)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads a process's command line from /proc")
def test_all_that_playwright_switches_off_stays_off(chromium):
    """Chromium heeds the last list alone, which is ours (tests/browser/chromium.py)."""
    chromium.running()
    words = Path(f"/proc/{chromium.pid}/cmdline").read_text().replace("\0", " ").split()
    *others, last = [set(word.partition("=")[2].split(",")) for word in words if word.startswith("--disable-features=")]
    assert others
    assert set().union(*others) <= last


def test_a_call_that_would_wait_for_ever_fails_and_the_next_test_finds_a_browser(chromium):
    from playwright.sync_api import Error

    page = chromium.running().new_page()
    with chromium.ended_after(0.5), pytest.raises(Error, match="closed"):
        page.evaluate("new Promise(() => {})")
    page = chromium.running().new_page()
    assert page.evaluate("1 + 1") == 2
    page.close()
