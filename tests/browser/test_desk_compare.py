"""Two swings side by side at the desk, in step at an instant."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from portal.intake.models import Clip
from portal.intake.states import State
from portal.measuring.models import Measurement, Stage
from tests.browser.desk_film import until
from tests.portal import conftest as people
from tests.servers import wait_until

PICTURES = re.compile(r"/(review\.mp4|stills-.*\.pack)$")
pytest_plugins = ["tests.browser.desk_pages"]


@pytest.fixture
def earlier(desk_of, film):
    """The same film, sent six weeks ago."""
    folder, _result = film
    _coach, review = desk_of
    clip = people.make_clip(people.make_submission(review.submission.player, review.submission.camp, State.PUBLISHED))
    for path in folder.iterdir():
        default_storage.save(f"{clip.folder}/{path.name}", ContentFile(path.read_bytes()))
    now = review.clip.measurement
    fields = {"result": now.result, "read_method": now.read_method, "read_book": now.read_book, "read_bands": 0}
    Measurement.objects.create(
        clip=clip, stage=Stage.DONE, products=clip.folder, tracks=f"{clip.folder}/tracks.npz", **fields
    )
    Clip.objects.filter(pk=clip.pk).update(created_at=clip.created_at - timedelta(days=42))
    return clip


def frames(page):
    words = [page.locator(f"#frame-{side}").inner_text() for side in ("this", "other")]
    return [int(text.split()[1]) if text else -1 for text in words]


def opened(page):
    page.keyboard.press("Shift+Q")
    until(page, "document.querySelectorAll('#compare-rows tr').length > 10")
    until(page, "document.querySelector('#frame-other').textContent")


@pytest.mark.parametrize(("size", "theme"), [((1280, 800), "light"), ((768, 1024), "dark")], ids=["desk", "tablet"])
def test_two_swings_stand_in_step_at_an_instant(open_desk, film, earlier, axe, shot, size, theme):
    page = open_desk("foot_down", viewport={"width": size[0], "height": size[1]}, color_scheme=theme)
    opened(page)
    instants = film[1]["swings"][0]["instants"]
    down, contact = instants["foot_down"]["frame"], instants["contact"]["frame"]
    assert frames(page) == [down, down]
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert frames(page) == [down + 2, down + 2]
    page.keyboard.press("5")
    assert frames(page) == [contact, contact]
    shown = page.locator("#compare-rows tr:visible")
    assert shown.count() >= 1
    assert all("no change we can see" in row or "not comparable" in row for row in shown.all_inner_texts())
    page.keyboard.press("3")
    axe(page)
    shot(page, f"desk-compare-{size[0]}")
    page.keyboard.press("o")
    page.keyboard.press("m")
    assert page.locator("#compare-overlay").get_attribute("aria-pressed") == "true"
    assert "mirrored" in page.locator("#side-other").get_attribute("class")
    shot(page, f"desk-compare-overlay-{size[0]}")
    page.keyboard.press("Escape")
    assert not page.locator("#compare").is_visible()
    assert page.evaluate("desk.film.frame") == down  # the desk stands where it stood


def test_without_another_swing_it_says_so(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("Shift+Q")
    until(page, "document.getElementById('compare-words').textContent.includes('only swing of this player')")


def test_a_picture_that_comes_after_closing_is_drawn_nowhere(open_desk, film, earlier):
    """One film laid over the other, and the line slow: both frames come when the desk is alone again."""
    page = open_desk("foot_down", viewport={"width": 768, "height": 1024})
    down = film[1]["swings"][0]["instants"]["foot_down"]["frame"]
    opened(page)
    page.keyboard.press("o")
    held: list[Any] = []
    is_slow = True
    page.route(PICTURES, lambda route: held.append(route) if is_slow else route.continue_())
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")  # to where no frame has come yet
    assert wait_until(lambda: bool(page.evaluate("1") and held), 10)  # asked, so that routes are served
    page.keyboard.press("Escape")
    is_slow = False
    for route in held:  # by hand: taking the handler away leaves one that is on its way to it waiting for ever
        route.continue_()
    page.keyboard.press("ArrowRight")
    until(page, f"desk.film.frame === {down + 1}")
    opened(page)
    assert frames(page) == [down, down]
