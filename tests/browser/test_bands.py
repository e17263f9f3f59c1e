"""The page of a camp's own bands: on a phone and a desktop, light and dark, by keyboard, and accessible."""

from __future__ import annotations

import re
from typing import Any

import pytest

from portal.camps import bands
from portal.camps.models import Camp, OwnBand
from portal.people.models import User
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.width import fits
from tests.portal.conftest import make_user


@pytest.fixture
def coach(site: str) -> User:
    return make_user("maren@example.org", "Maren Oduya", is_coach=True)


@pytest.fixture
def camp(coach: User) -> Camp:
    """A camp with a band of its own, one for a level, and one that is too narrow for a phone."""
    camp = Camp.objects.create(name="Lindholt fall camp, girls and boys from eight to twelve")
    camp.coaches.add(coach)
    bands.change(camp, "", 0, {"down_foot_opening": (None, 50.0), "down_front_knee": (30.0, 36.0)}, coach)
    bands.change(camp, "child", 1, {"down_foot_opening": (10.0, 60.0)}, coach)
    return camp


@pytest.fixture
def open_bands(open_page, sign_in, coach, camp):
    def open_one(level: str = "", **options: Any) -> Any:
        page = open_page(**options)
        sign_in(page, coach)
        page.goto(f"/camps/{camp.pk}/bands/" + (f"{level}/" if level else ""))
        return page

    return open_one


@pytest.mark.parametrize(
    ("size", "theme"), [("phone", "light"), ("phone", "dark"), ("desktop", "light"), ("desktop", "dark")]
)
def test_the_page_fits_and_is_accessible(open_bands, axe, shot, size, theme):
    page = open_bands(
        "" if theme == "light" else "child", **{"phone": PHONE, "desktop": DESKTOP}[size], color_scheme=theme
    )
    fits(page)
    axe(page)
    shot(page, f"bands-{size}-{theme}")


def test_faults_stand_at_their_rows(open_bands, axe, shot):
    page = open_bands(**DESKTOP)
    page.get_by_label("Rear knee bend, from").first.fill("80")
    page.get_by_label("Front foot angle, to").fill("500")
    page.get_by_role("button", name="Save").first.click()
    page.locator(".fault").first.wait_for()
    assert page.locator(".fault").count() == 2
    axe(page)
    shot(page, "bands-faults")
    assert OwnBand.objects.filter(level="").count() == 2


def test_enter_saves_and_takes_nothing_back(open_bands):
    """The first button of the form is the one that Enter presses."""
    page = open_bands(**DESKTOP)
    page.get_by_label("Length of the stride, from").fill("25")
    page.keyboard.press("Enter")
    page.get_by_text("1 band was changed.").wait_for()
    assert {row.checkpoint for row in OwnBand.objects.filter(level="")} == {
        "down_foot_opening", "down_front_knee", "down_stride_length",
    }  # fmt: skip


def test_one_row_goes_back_to_the_book(open_bands):
    page = open_bands(**DESKTOP)
    page.get_by_role("button", name=re.compile("Back to the book’s.*Front foot angle")).click()
    page.get_by_text("1 band was changed.").wait_for()
    assert not OwnBand.objects.filter(level="", checkpoint="down_foot_opening").exists()
