"""The queue in a real browser: looked at on phone and desktop, in light and dark, searched, and handed over from."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from portal.desk.models import HandOver
from portal.intake.models import Submission
from portal.intake.states import State
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.width import fits
from tests.portal import conftest as people

pytest_plugins = ["tests.browser.desk_pages"]

LOOKS = [(PHONE, "light"), (PHONE, "dark"), (DESKTOP, "light"), (DESKTOP, "dark")]
LONG = "Bartholomew-Maximilian von und zu Hohenstein-Achterberg"


@pytest.fixture
def full_queue(desk_of) -> Any:
    """Two coaches and lines of every kind: mine, free, late, without a day, a long name, a long note, faults of the film."""
    coach, review = desk_of
    camp, held = review.submission.camp, review.clip.measurement
    tibor = people.make_user("tibor@example.org", "Tibor Quist", is_coach=True)
    camp.coaches.add(tibor)
    guardian = people.make_user("vane@example.org", "Nell Vane")
    faults = [{**check, "ok": check["id"] not in ("feet", "fps", "sound")} for check in held.result["film"]["checks"]]
    result = {**held.result, "film": {**held.result["film"], "checks": faults}}
    lines = (
        ("Nell", "Vane", -3, State.READY, None, "Is the stride too long? She lands early since spring. " * 4),
        ("Odo", LONG, 0, State.READY, None, ""),
        ("Runa", "Brandvold", 4, State.IN_REVIEW, coach, "Thank you!"),
        ("Joris", "Vane", 5, State.IN_REVIEW, tibor, ""),
        ("Tova", "Lind", None, State.UNREADABLE, None, ""),
    )
    for first, last, days, state, reviewer, note in lines:
        player = people.make_player(camp, guardian, first_name=first, last_name=last[:60])
        due = None if days is None else date.today() + timedelta(days=days)
        submission = people.make_submission(player, camp, state, reviewer=reviewer, note=note, promised_by=due)
        clip = people.make_clip(submission)
        fields: dict[str, Any] = {"stage": held.stage, "products": held.products, "result": result}
        if state == State.UNREADABLE:
            fields = {"stage": "failed", "failure_code": "damaged", "failure_words": "This clip is damaged."}
        type(held).objects.create(clip=clip, **fields)
        if first == "Runa":
            HandOver.objects.create(submission=submission, by=tibor, to_coach=coach, words="Her knee again.")
    return coach


@pytest.mark.parametrize(("size", "theme"), LOOKS)
def test_the_queue_is_accessible_and_fits(open_page, sign_in, full_queue, axe, shot, size, theme):
    page = open_page(**size, color_scheme=theme)
    sign_in(page, full_queue)
    page.goto("/queue/")
    page.get_by_text("Go on").first.wait_for()
    fits(page)
    axe(page)
    name = f"queue-{'phone' if size is PHONE else 'desktop'}-{theme}"
    shot(page, name)
    heights = page.locator("tr.line").evaluate_all("lines => lines.map((line) => line.offsetHeight)")
    assert len(heights) == 5
    assert len(set(heights)) == 1
    page.goto("/queue/?q=van&due=week")
    fits(page)
    axe(page)
    shot(page, f"{name}-filters")


def test_search_is_kept_by_reload_and_back(open_page, sign_in, full_queue):
    page = open_page(**DESKTOP)
    sign_in(page, full_queue)
    page.goto("/queue/")
    page.get_by_label("Player", exact=True).fill("vane")
    page.keyboard.press("Enter")
    page.wait_for_url("**q=vane*")
    page.get_by_text("Nell Vane", exact=True).first.wait_for()
    assert page.locator("tr.line").count() == 1
    page.reload()
    assert page.get_by_label("Player", exact=True).input_value() == "vane"
    page.get_by_role("link", name="with other coaches").click()
    page.get_by_text("Joris Vane", exact=True).first.wait_for()
    page.go_back()
    page.get_by_text("Nell Vane", exact=True).first.wait_for()


def test_without_scripts_a_review_is_found_and_handed_over(open_page, sign_in, full_queue):
    page = open_page(**DESKTOP, java_script_enabled=False)
    sign_in(page, full_queue)
    page.goto("/queue/?q=nell")
    page.get_by_label("Hand over Nell Vane").check()
    page.get_by_label("A word for them").fill("You know her.")
    page.get_by_role("button", name="Hand over").click()
    page.get_by_text("1 review is with Tibor Quist now.").wait_for()
    assert page.url.endswith("/queue/?q=nell")
    assert Submission.objects.get(player__first_name="Nell").reviewer.name == "Tibor Quist"
