"""The frame shown is the frame asked for, in Firefox as well: read off the canvas of the real desk."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client

from tests.browser.chromium import PATIENCE_S
from tests.browser.desk_film import READ_NUMBER, WALK, coach_with_film, write_film
from tests.browser.firefox import Firefox, find_firefox
from tests.servers import wait_until

STEPS = int(os.environ.get("FRAME_STEPS", "120"))  # `make frames`: 10,000


@pytest.fixture(scope="module")
def firefox(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    program = find_firefox()
    if program is None:
        words = "no Firefox is installed (Debian: apt-get install firefox-esr)"
        pytest.fail(words) if os.environ.get("CI") else pytest.skip(words)
    one = Firefox(program, tmp_path_factory.mktemp("firefox"))
    yield one
    one.stop()


@pytest.fixture(scope="module")
def film() -> tuple[Path, dict[str, Any]]:
    return write_film(frames=260, size=(640, 360), fps=60, jitter=0.8)


@pytest.mark.parametrize("way", ["stills", "both"])
def test_every_frame_drawn_in_firefox_is_the_frame_asked_for(site, film, firefox, way):
    coach, review = coach_with_film(*film)
    client = Client()
    client.force_login(coach, backend=settings.AUTHENTICATION_BACKENDS[0])
    firefox.put_cookie(site, settings.SESSION_COOKIE_NAME, client.cookies[settings.SESSION_COOKIE_NAME].value)
    firefox.goto(f"{site}/submissions/{review.submission_id}/desk/?film={way}")
    assert wait_until(lambda: firefox.evaluate("document.body.dataset.ready && desk.film.frame >= 0"), PATIENCE_S)
    if firefox.evaluate("desk.film.showsBody"):
        firefox.evaluate("desk.film.toggleSkeleton()")
    if way != "stills":  # which stand before the decoder is there
        wait_until(lambda: firefox.evaluate("Boolean(desk.film.frames.codec)"), PATIENCE_S)
    assert firefox.evaluate("Boolean(desk.film.frames.codec)") is (way != "stills")
    told = firefox.evaluate(f"(() => {{ {READ_NUMBER} {WALK} return walk({STEPS}, 11); }})()", 3600)
    print(f"Firefox, {way}: {told['drawn']} frames drawn, {len(told['wrong'])} wrong")
    assert told == {"drawn": STEPS, "wrong": []}
