"""Handing a review over from the desk: by the button and by the key, with nothing left on its way."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from portal.desk.models import HandOver, Review
from tests.browser.conftest import PHONE
from tests.browser.desk_film import until
from tests.browser.desk_pages import ready
from tests.browser.width import fits
from tests.portal import conftest as people

pytest_plugins = ["tests.browser.desk_pages"]


@pytest.fixture
def tibor(desk_of):
    _coach, review = desk_of
    tibor = people.make_user("tibor@example.org", "Tibor Quist", is_coach=True)
    review.submission.camp.coaches.add(tibor)
    return tibor


def test_by_keys_alone_with_what_was_typed_just_before(open_desk, tibor, axe, shot):
    page = open_desk("foot_down")
    page.locator("#write-up-toggle").click()
    page.locator("#greeting").click()
    page.keyboard.type("Hi Ida, from Mar")
    page.keyboard.press("Escape")
    page.keyboard.press("Shift+G")
    page.get_by_role("heading", name="Hand over Ida’s review").wait_for()
    axe(page)
    shot(page, "desk-give")
    page.get_by_label("A word for them").fill("Her mother asks about the knee.")
    page.keyboard.press("Enter")
    page.wait_for_url("/queue/")
    page.get_by_text("1 review is with Tibor Quist now.").wait_for()
    given = HandOver.objects.get()
    assert (given.to_coach, given.words) == (tibor, "Her mother asks about the knee.")
    assert Review.objects.get().greeting == "Hi Ida, from Mar"
    assert "knee" not in page.evaluate("JSON.stringify([{ ...localStorage }, { ...sessionStorage }])")


def test_while_the_site_is_away_it_stays_and_says_so(open_desk, tibor):
    page = open_desk("foot_down")
    with page.watch.allowing("ERR_INTERNET_DISCONNECTED"):
        page.context.set_offline(True)
        page.keyboard.press("g")
        until(page, "desk.saving.state === 'trying'")
        page.get_by_role("button", name="Hand over").click()
        page.locator("#give-form").get_by_role("button", name="Hand over").click()
        page.get_by_text("your last change is not saved yet").wait_for()
        page.context.set_offline(False)
        until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    assert not HandOver.objects.exists()


def test_a_coach_alone_has_no_button_and_the_key_says_why(open_desk):
    page = open_desk("foot_down")
    assert page.locator("#give-open").count() == 0
    page.keyboard.press("Shift+G")
    expect(page.locator("#said")).to_contain_text("There is no other coach of this camp")


def test_who_only_looks_takes_it_on_a_phone(open_page, sign_in, desk_of, tibor, axe, shot):
    _coach, review = desk_of
    page = open_page(**PHONE, color_scheme="dark")
    sign_in(page, tibor)
    page.goto(f"/submissions/{review.submission_id}/desk/foot_down/")
    ready(page)
    fits(page)
    shot(page, "desk-give-head-phone")
    page.get_by_role("button", name="Hand over").tap()
    page.get_by_role("heading", name="Hand over Ida’s review").wait_for()
    axe(page)
    shot(page, "desk-give-phone-dark")
    expect(page.get_by_label("To", exact=True)).to_have_value(str(tibor.pk))
    page.locator("#give-form").get_by_role("button", name="Hand over").tap()
    page.wait_for_url("/queue/")
    review.submission.refresh_from_db()
    assert review.submission.reviewer == tibor
