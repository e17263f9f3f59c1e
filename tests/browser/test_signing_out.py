"""Who signs out leaves nothing behind: neither "back" nor the browser's cache shows the child again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from portal.desk.models import MarkUp, Review
from portal.evaluations.publish import publish
from portal.intake.states import State
from tests.browser.desk_film import coach_with_film, until, write_film


@pytest.fixture(scope="session")
def film() -> tuple[Path, dict[str, Any]]:
    return write_film(frames=60, size=(320, 180), fps=60, jitter=0)


@pytest.fixture
def review(site, film):
    """Published once, and on the desk again for a second edition."""
    coach, review = coach_with_film(*film)
    Review.objects.filter(pk=review.pk).update(greeting="Hi Ida!", thing_title="Keep the front foot closed")
    review.refresh_from_db()
    MarkUp.objects.create(review=review, clip=review.clip, frame=20, instant="contact")
    review.evaluation = publish(review, coach)
    review.submission.refresh_from_db()
    review.submission.move(State.IN_REVIEW, reviewer=coach)
    return review


def sign_out(page):
    page.goto("/accounts/logout/")
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("/")


def shows_nothing(page):
    """No word of the child, no film and no drawn frame, whatever the browser makes of "back"."""
    page.wait_for_load_state()
    page.wait_for_timeout(300)  # a page that was held whole asks anew
    assert "Ida" not in page.content()
    assert page.evaluate("document.querySelectorAll('main img, main canvas, main video').length") == 0


def test_back_after_signing_out_shows_nothing(page_desktop, sign_in, review):
    page = page_desktop
    sign_in(page, review.submission.reviewer)
    walk = [
        f"/submissions/{review.submission_id}/",
        f"/evaluations/{review.evaluation.pk}/",
        f"/clips/{review.clip_id}/review.mp4",
        f"/clips/{review.clip_id}/poster.jpg",
        f"/submissions/{review.submission_id}/desk/contact/",
    ]
    with page.watch.allowing("inline style|favicon"):  # the browser's own page around a picture
        for address in walk:
            page.goto(address)
    until(page, "window.desk && desk.film.frame >= 0")
    assert "Ida" in page.content()
    sign_out(page)
    with page.watch.allowing("404|inline style"):
        for _step in range(len(walk) + 1):
            page.go_back(wait_until="commit")
            shows_nothing(page)


def test_a_page_held_for_back_is_hidden_and_asked_for_anew(page_desktop, sign_in, review):
    """What a browser does that keeps pages whole, by its own two events."""
    page = page_desktop
    sign_in(page, review.submission.reviewer)
    page.goto(f"/evaluations/{review.evaluation.pk}/")
    page.evaluate("dispatchEvent(new PageTransitionEvent('pagehide', { persisted: true }))")
    assert page.evaluate("getComputedStyle(document.querySelector('main')).visibility") == "hidden"
    page.context.clear_cookies()
    with page.expect_navigation():
        page.evaluate("dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))")
    shows_nothing(page)


def test_what_was_kept_for_the_child_is_gone_from_the_browser(page_desktop, sign_in, review):
    page = page_desktop
    sign_in(page, review.submission.reviewer)
    page.goto(f"/submissions/{review.submission_id}/desk/")
    until(page, "window.desk && desk.film.frame >= 0")
    page.evaluate("localStorage.setItem('desk:1', 'words about Ida')")
    page.keyboard.press("g")
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    page.goto("/accounts/logout/")
    assert ":undo:" in page.evaluate("JSON.stringify(sessionStorage)")
    sign_out(page)
    assert page.evaluate("localStorage.length") == 0
    assert ":undo:" not in page.evaluate("JSON.stringify(sessionStorage)")
    poster = f"/clips/{review.clip_id}/poster.jpg"
    with page.watch.allowing("504|404|ERR_CACHE_MISS|Failed"):
        kept = page.evaluate(
            "(url) => fetch(url, { cache: 'only-if-cached', mode: 'same-origin' }).then((r) => r.status, () => 0)",
            poster,
        )
    assert kept in (0, 504)
