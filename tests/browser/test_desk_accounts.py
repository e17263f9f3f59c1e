"""Two coaches at one browser: what one could not send is neither shown to the other nor sent as theirs, and is found again."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import expect

from portal.desk.models import Review
from portal.evaluations.models import Evaluation
from portal.intake.models import Submission
from portal.intake.states import State
from portal.people.models import User
from tests.browser.desk_film import until
from tests.browser.desk_pages import crash, frame_of, ready, standing
from tests.browser.test_kept_words import sign_in_by_code
from tests.portal import conftest as people
from tests.servers import wait_until

pytest_plugins = ["tests.browser.desk_pages"]
OFFLINE = "ERR_INTERNET_DISCONNECTED"
ALL = "JSON.stringify([{ ...localStorage }, { ...sessionStorage }])"
SAVED = "desk.saving.isClean && desk.saving.state === 'saved' && desk.correcting.isClean"


@pytest.fixture
def tibor(desk_of):
    _coach, review = desk_of
    tibor = people.make_user("tibor@example.org", "Tibor Quist", is_coach=True)
    review.submission.camp.coaches.add(tibor)
    return tibor


def give_to(user: User) -> None:
    Submission.objects.update(reviewer=user)


def write_offline(page: Any, words: str) -> None:
    """Words and a correction that the site does not hear of."""
    page.context.set_offline(True)
    page.locator("#write-up-toggle").click()
    page.locator("#greeting").fill(words)
    page.evaluate("desk.correcting.make(desk.moves.instantAt(0, 'load', 3))")
    until(page, "desk.saving.state === 'trying' && desk.correcting.state === 'trying'")


def close_for_good(page: Any) -> Any:
    """The window goes, what it could not send stays; gives a new one of the same browser."""
    context = page.context
    crash(page)
    context.set_offline(False)
    return context.new_page()


def open_the_desk(page: Any, review: Review) -> Any:
    page.goto(f"/submissions/{review.submission_id}/desk/foot_down/")
    ready(page)
    return page


def test_another_coach_neither_sees_nor_sends_it_and_the_first_one_finds_it(open_desk, desk_of, sign_in, tibor):
    coach, review = desk_of
    page = open_desk("foot_down")
    with page.watch.allowing(OFFLINE):
        write_offline(page, "Hi Ida, from Maren")
        other = close_for_good(page)
    give_to(tibor)
    sign_in(other, tibor)
    open_the_desk(other, review)
    assert other.locator("#desk-notice").count() == 0
    other.locator("#write-up-toggle").click()
    assert other.locator("#greeting").input_value() == ""
    other.locator("#closing").fill("See you, Tibor")
    until(other, SAVED)
    said = Review.objects.get()
    assert (said.greeting, said.closing) == ("", "See you, Tibor")
    assert standing().corrections == {}
    assert "from Maren" in other.evaluate(ALL)
    give_to(coach)
    sign_in(other, coach)
    open_the_desk(other, review)
    assert wait_until(lambda: Review.objects.get().greeting == "Hi Ida, from Maren", 60)
    until(other, SAVED)
    assert Review.objects.get().closing == "See you, Tibor"
    assert standing().corrections["instants"] == {"0": {"load": 3}}
    assert "from Maren" not in other.evaluate(ALL)


def test_a_page_left_open_sends_nothing_while_another_coach_is_signed_in(open_desk, desk_of, sign_in, tibor):
    coach, _review = desk_of
    page = open_desk("foot_down")
    give_to(tibor)  # so that the site would take it as theirs
    sign_in(page, tibor)
    with page.watch.allowing("401"):
        page.evaluate(f"desk.correcting.make(desk.moves.instantAt(0, 'load', {frame_of('load') + 1}))")
        page.locator("#write-up-toggle").click()
        page.locator("#greeting").fill("Hi Ida, from Maren")
        until(page, "desk.saving.state === 'signed_out' && desk.correcting.state === 'signed_out'")
        expect(page.locator("#saved")).to_contain_text("somebody else is signed in here now")
        assert Review.objects.get().greeting == ""
        assert standing().corrections == {}
        give_to(coach)
        sign_in(page, coach)
        until(page, SAVED)
    assert Review.objects.get().greeting == "Hi Ida, from Maren"


def test_what_was_kept_before_keys_named_an_account_waits_for_a_word(open_desk, desk_of, axe, shot):
    _coach, review = desk_of
    page = open_desk("foot_down")
    item = {"name": "greeting", "kind": "draft", "body": {"greeting": "Hi from before"}, "was": "", "token": "t1"}
    page.evaluate(
        "([key, kept]) => localStorage.setItem(key, kept)", [f"desk:{review.submission_id}:w", json.dumps([item])]
    )
    open_the_desk(page, review)
    page.get_by_text("This browser holds one change for this player").wait_for()
    page.locator("#write-up-toggle").click()
    assert page.locator("#greeting").input_value() == ""
    axe(page)
    shot(page, "desk-nameless")
    page.get_by_role("button", name="Mine: put in").click()
    page.get_by_text("One change of yours was not saved").wait_for()
    until(page, SAVED)
    assert Review.objects.get().greeting == "Hi from before"
    assert "Hi from before" not in page.evaluate("JSON.stringify({ ...localStorage })")


def sign_out(page: Any) -> None:
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("/")


def test_signing_out_says_what_goes_and_takes_it(open_desk, axe, shot):
    page = open_desk("foot_down")
    with page.watch.allowing(OFFLINE):
        write_offline(page, "Hi Ida, from Maren")
        other = close_for_good(page)
    other.goto("/accounts/logout/")
    other.get_by_text("2 changes of yours at the desk have not reached the site. Open the desk to send them").wait_for()
    axe(other)
    shot(other, "sign-out-unsent")
    other.get_by_role("link", name="Open the desk").click()
    other.wait_for_url("**/desk/**")
    ready(other)
    until(other, SAVED)
    assert Review.objects.get().greeting == "Hi Ida, from Maren"
    other.goto("/accounts/logout/")
    expect(other.locator("#unsent")).to_be_hidden()
    sign_out(other)
    assert other.evaluate("localStorage.length") == 0


@pytest.mark.parametrize("has_tls", [True, False])
def test_signing_out_erases_ones_own_and_leaves_the_other_coachs(open_desk, desk_of, sign_in, tibor, has_tls):
    coach, review = desk_of
    page = open_desk("foot_down")
    with page.watch.allowing(OFFLINE):
        write_offline(page, "Hi Ida, from Maren")
        other = close_for_good(page)
    give_to(tibor)
    sign_in(other, tibor)
    other.goto("/queue/")
    other.evaluate(
        "([key, kept]) => localStorage.setItem(key, kept)",
        [f"desk:{tibor.pk}:{review.submission_id}:w", json.dumps({"at": 0, "list": [{"words": "from Tibor"}]})],
    )
    other.goto("/accounts/logout/")
    other.get_by_text("One change of yours at the desk has not reached the site").wait_for()
    if has_tls:
        sign_out(other)
    else:  # a site whose answer erases nothing
        other.route("**/accounts/logout/", lambda route: route.fulfill(status=204))
        other.get_by_role("button", name="Sign out").click()
        until(other, "!JSON.stringify({ ...localStorage }).includes('from Tibor')")
        other.unroute("**/accounts/logout/")
    held = other.evaluate(ALL)
    assert "from Tibor" not in held
    assert "from Maren" in held
    give_to(coach)
    sign_in(other, coach)
    open_the_desk(other, review)
    until(other, SAVED)
    assert Review.objects.get().greeting == "Hi Ida, from Maren"


def test_who_signs_in_once_more_in_another_window_goes_on_to_publish(open_desk, desk_of):
    """A new sign-in brings a new token for forms; the page that stayed open has the old one."""
    coach, review = desk_of
    Review.objects.update(thing_title="Keep the front foot closed", thing_words="It keeps the hips back.")
    page = open_desk("preview")
    with page.watch.allowing("40[134]"):  # pictures that the page asks for meanwhile
        Session.objects.all().delete()
        other = page.context.new_page()
        other.goto("/queue/")
        sign_in_by_code(other, coach.email)
        page.locator("#publish-open").click()
        page.locator("#publish-form button.act").click()
        page.wait_for_url("**/evaluations/**")
    review.submission.refresh_from_db()
    assert review.submission.state == State.PUBLISHED


def test_another_coachs_session_publishes_nothing_from_a_page_left_open(open_desk, desk_of, sign_in, tibor):
    _coach, review = desk_of
    Review.objects.update(thing_title="Keep the front foot closed", thing_words="It keeps the hips back.")
    page = open_desk("preview")
    give_to(tibor)
    sign_in(page, tibor)
    page.locator("#publish-open").click()
    page.locator("#publish-form button.act").click()
    page.wait_for_url(f"/submissions/{review.submission_id}/desk/")  # not the stop at which the other page stood
    until(page, f"document.body.dataset.account === '{tibor.pk}'")
    review.submission.refresh_from_db()
    assert review.submission.state == State.IN_REVIEW
    assert not Evaluation.objects.exists()


def test_and_to_give_it_back_to_the_queue(open_desk, desk_of):
    coach, review = desk_of
    page = open_desk("preview")
    with page.watch.allowing("40[134]"):
        Session.objects.all().delete()
        other = page.context.new_page()
        other.goto("/queue/")
        sign_in_by_code(other, coach.email)
        page.get_by_role("button", name="Back into the queue").click()
        page.wait_for_url("/queue/")
    review.submission.refresh_from_db()
    assert review.submission.state == State.READY
