"""Several swings as one measurement on the desk: the row of swings, the ticks on the strips, leaving one out and taking it back."""

from __future__ import annotations

import pytest

from portal.desk.models import Review
from tests.analysis.read.motion import Film, Swing, film_swing
from tests.browser.conftest import DESKTOP
from tests.browser.desk_film import until, write_read_film
from tests.browser.desk_pages import SMALL
from tests.browser.width import fits

pytest_plugins = ["tests.browser.desk_pages"]

SWINGS = (Swing(), Swing(foot_down=1.1, contact=1.35), Swing())
LAPTOP = {**DESKTOP, "viewport": {"width": 1280, "height": 800}}
SMALL_PHONE = {**DESKTOP, "viewport": {"width": 360, "height": 780}, "has_touch": True}
POINT = "#point-time_to_start"


@pytest.fixture(scope="session")
def film():
    return write_read_film(film_swing(Film(**SMALL, swings=SWINGS)))


def said(review) -> dict:
    review = Review.objects.get(pk=review.pk)
    return review.counting.get(str(review.clip_id), {})


def settled(page) -> None:
    until(page, "desk.saving.isClean && !desk.counting.isBehind")


def ticks(page, point: str = POINT) -> int:
    return page.locator(f"{point} .strip-tick").count()


def tops(page) -> list:
    """Where the row, the point that was looked at, and everything about the film lies."""
    return page.evaluate(
        """[...document.querySelectorAll("#counting, #counting button, #point-time_to_start, #film, #film-area > *, .slot > *")]
        .map((e) => { const b = e.getBoundingClientRect(); return [b.top, b.left, b.width, b.height].map(Math.round); })"""
    )


def test_a_swing_is_left_out_by_one_press_and_taken_back_by_undo(open_desk, desk_of, shot):
    _coach, review = desk_of
    page = open_desk("swing_start", **LAPTOP)
    page.locator(POINT).click()
    assert ticks(page) == 3
    before, value = tops(page), page.locator(f"{POINT} .value").text_content()
    shot(page, "counting-three")
    page.locator("#counting [data-count='1']").click()
    until(page, f"document.querySelectorAll('{POINT} .strip-tick').length === 2")
    settled(page)
    assert tops(page) == before
    assert page.locator("#counting [data-count='1']").get_attribute("aria-pressed") == "false"
    assert (
        page.locator("#counting [data-count='1']").get_attribute("aria-label")
        == "Swing 2 is left out. Let it count again"
    )
    assert page.locator("#said").text_content() == "swing 2 left out"
    assert "left out" in page.locator(f"{POINT} .each s").text_content()
    assert said(review) == {"1": False}
    shot(page, "counting-one-out")
    page.keyboard.press("z")
    until(page, f"document.querySelectorAll('{POINT} .strip-tick').length === 3")
    settled(page)
    assert page.locator(f"{POINT} .value").text_content() == value
    assert said(review) == {"1": True}


def test_the_key_leaves_out_the_swing_shown_and_the_last_one_stays(open_desk, desk_of):
    _coach, review = desk_of
    Review.objects.filter(pk=review.pk).update(swing=2)
    page = open_desk("contact", **LAPTOP)
    page.keyboard.press("m")
    settled(page)
    assert said(review) == {"2": False}
    page.locator("#counting [data-count='0']").click()
    page.locator("#counting [data-count='1']").click()
    settled(page)
    assert page.locator("#said").text_content() == "One swing has to count. Take another one back first."
    assert said(review) == {"0": False, "2": False}
    page.reload()
    until(page, "document.body.dataset.ready && window.desk")
    assert page.locator("#counting [aria-pressed=true]").all_text_contents() == ["2"]


@pytest.mark.parametrize(("size", "scheme"), [("laptop", "light"), ("phone", "dark")])
def test_the_row_of_swings_is_accessible_and_fits(open_desk, axe, shot, size, scheme):
    page = open_desk("foot_down", **{"laptop": LAPTOP, "phone": SMALL_PHONE}[size], color_scheme=scheme)
    page.locator("#counting [data-count='0']").click()
    settled(page)
    page.mouse.move(5, 5)
    shot(page, f"counting-{size}-{scheme}")
    if size == "phone":
        page.locator("#counting").scroll_into_view_if_needed()
        shot(page, f"counting-{size}-{scheme}-row")
    fits(page)
    axe(page)
