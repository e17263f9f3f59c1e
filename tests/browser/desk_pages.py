"""Fixtures for a desk in use, and a hand on its film. A test module names this one in `pytest_plugins`."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Error

from portal.drills.library import load
from portal.measuring.models import Measurement
from tests.analysis.read.motion import Film, film_swing
from tests.browser.conftest import DESKTOP
from tests.browser.desk_film import coach_with_film, until, write_read_film

SMALL = {"width_px": 640, "height_px": 360, "focal": 500.0, "noise_px": 0.7, "depth_noise_m": 0.02}


@pytest.fixture(scope="session")
def film() -> tuple[Path, dict[str, Any]]:
    """A swing with answers known by hand, really read, over numbered pictures: corrections change true readings."""
    return write_read_film(film_swing(Film(**SMALL)))


@pytest.fixture
def desk_of(site, film):
    load()
    return coach_with_film(*film)


@pytest.fixture
def open_desk(open_page, sign_in, desk_of):
    """open_desk(stop, **options of the page): the coach's desk, ready."""

    def open_one(stop: str = "set_up", user: Any = None, **options: Any) -> Any:
        coach, review = desk_of
        page = open_page(**{**DESKTOP, **options})
        sign_in(page, user or coach)
        page.goto(f"/submissions/{review.submission_id}/desk/{stop}/")
        ready(page)
        return page

    return open_one


def ready(page: Any) -> None:
    until(page, "document.body.dataset.ready && window.desk")
    if "/preview/" not in page.url:
        until(page, "desk.film.frame >= 0")


def crash(page: Any) -> None:
    """The window's process ends: nothing more is sent from it, and what it kept stays. (A window that is closed sends what waits
    as it goes, and by then Playwright no longer holds it offline.)
    """
    with page.expect_event("crash"), suppress(Error):
        page.goto("chrome://crash")
    page.close()


def standing() -> Measurement:
    return Measurement.objects.get()


def frame_of(instant: str) -> int:
    return standing().result["swings"][0]["instants"][instant]["frame"]


def reading_of(checkpoint: str) -> dict[str, Any]:
    return next(r for r in standing().result["swings"][0]["readings"] if r["checkpoint"] == checkpoint)


def go(page: Any, frame: int) -> None:
    """To a frame, with its body at hand."""
    page.evaluate("(frame) => desk.film.goTo(frame)", frame)
    until(page, f"desk.film.frame === {frame} && desk.film.bodies.held.has({frame})")


def settled(page: Any) -> None:
    """Every correction is read, and the cards show it."""
    until(page, "desk.correcting.isClean && !desk.correcting.isBusy")


def on_page(page: Any, x: float, y: float) -> tuple[float, float]:
    """Where the page shows a place of the clip (pixels)."""
    box, view = page.locator("#film-canvas").bounding_box(), page.evaluate("({...desk.film.viewport.view})")
    return box["x"] + view["x"] + x * view["scale"], box["y"] + view["y"] + y * view["scale"]


def drag_in_clip(page: Any, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Press, move and let go with the mouse, from one place of the clip to another."""
    page.mouse.move(*on_page(page, *start))
    page.mouse.down()
    page.mouse.move(*on_page(page, *end), steps=6)
    page.mouse.up()


def click_in_clip(page: Any, x: float, y: float) -> None:
    drag_in_clip(page, (x, y), (x, y))
