"""A film that is read again while its desk is open, and the desk that tells of it afterwards."""

from __future__ import annotations

from typing import Any

import pytest
from django.utils import timezone

from portal.desk.models import Rating
from portal.measuring.models import Measurement, Reread
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.desk_film import until
from tests.browser.width import fits

pytest_plugins = ["tests.browser.desk_pages"]


def read_again() -> None:
    """As a worker does by a newer method: two calls are others."""
    held = Measurement.objects.get()
    calls = [
        _change(held, "down_front_knee", "too close to call"),
        _change(held, "down_foot_opening", "not readable"),
        _change(held, "contact_front_knee", "too close to call"),
    ]
    Measurement.objects.update(read_method=held.read_method + 1)
    Reread.objects.create(measurement=held, at=timezone.now(), why=["method"], calls=calls, swings={})


def _change(held: Measurement, checkpoint: str, before: str) -> dict[str, Any]:
    now = next(r for r in held.result["swings"][0]["readings"] if r["checkpoint"] == checkpoint)
    read = {name: now[name] for name in ("value", "interval", "unit")}
    was = {**read, "value": 41.0, "interval": [33.0, 49.0]}
    return {"swing": 0, "checkpoint": checkpoint, "before": before, "after": now["call"], "was": was, "now": read}


def test_an_open_window_hears_of_it_and_what_was_said_stays(open_desk):
    page = open_desk("foot_down")
    read_again()
    page.keyboard.press("g")
    note = page.locator("#desk-notice")
    note.wait_for()
    assert "were made anew just now" in note.text_content()
    note.get_by_role("button", name="Load the newest").click()
    page.locator("#reread").wait_for()
    until(page, "document.body.dataset.ready && window.desk")
    assert "measuring got better" in page.locator("#reread").text_content()
    assert Rating.objects.get().rate == "good"
    assert page.locator("#desk-notice").count() == 0


def test_the_coach_reads_it_and_puts_it_away(open_desk):
    read_again()
    page = open_desk("foot_down")
    assert page.locator(".reread-lines li").count() == 3
    page.get_by_role("button", name="I have seen it").click()
    page.wait_for_load_state()
    assert page.locator("#reread").count() == 0
    assert page.url.endswith("/desk/foot_down/")


@pytest.mark.parametrize(("size", "theme"), [(DESKTOP, "light"), (PHONE, "dark")])
def test_it_fits_and_can_be_read_by_all(open_desk, desk_of, axe, shot, size, theme):
    read_again()
    Rating.objects.create(review=desk_of[1], checkpoint="down_front_knee", rate="good")
    page = open_desk("foot_down", **size, color_scheme=theme)
    fits(page)
    axe(page)
    shot(page, f"desk-reread-{theme}")
