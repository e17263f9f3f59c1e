"""A real camp, once, from an empty machine to deletion: owner, mail, coach, camp, family, clip, evaluation, withdrawal.

Nothing is put into the database: whatever the people in it know they read from the terminal, an email or a page.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.browser.chromium import PATIENCE_S
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.real_site import Postbox, RealSite, digits, give_passkeys
from tests.browser.watch import Watch
from tests.films.shortened import ROWAN, shortened

pytestmark = [pytest.mark.slow, pytest.mark.films]
MEASURED_WITHIN_MS = 600_000  # beside other tests, on two cores
OWNER, COACH, PARENT = "oda@example.org", "ansa@example.org", "nele@example.org"


@pytest.fixture
def postbox() -> Iterator[Postbox]:
    postbox = Postbox()
    yield postbox
    postbox.stop()


@pytest.fixture
def real_site(tmp_path: Path, postbox: Postbox) -> Iterator[RealSite]:
    site = RealSite(tmp_path, postbox.url)
    yield site
    site.stop()


@pytest.fixture
def somebody(browser: Any, real_site: RealSite) -> Iterator[Callable[..., Any]]:
    """somebody(**options): a person's own browser, whose complaints fail the test."""
    pages: list[Any] = []

    def open_one(**options: Any) -> Any:
        context = browser.new_context(base_url=real_site.url, locale="en-US", **options)
        context.set_default_timeout(1000 * PATIENCE_S)
        page = context.new_page()
        page.watch = Watch(page, real_site.url)
        pages.append(page)
        return page

    yield open_one
    complaints = [complaint for page in pages for complaint in page.watch.complaints]
    for page in pages:
        page.context.close()
    assert not complaints, "\n".join(complaints)


def test_from_an_empty_machine_to_deletion(real_site, postbox, somebody, axe, shot) -> None:
    owner, coach, parent = somebody(**DESKTOP), somebody(**DESKTOP), somebody(**PHONE)
    link = real_site.first_link()
    become_the_owner(owner, link, axe, shot)
    take_a_passkey(owner, axe, shot)
    name_the_site_and_try_the_mail(owner, postbox, axe, shot)
    make_the_camp(owner)
    invite_a_coach(owner, axe, shot)
    come_in_as_the_coach(coach, postbox, axe, shot)
    invite_link = coach_reads_the_invite_link(coach)
    send_a_clip(parent, invite_link, postbox)
    review_and_publish(coach, axe, shot)
    read_the_evaluation(parent, postbox, axe, shot)
    delete_it(parent, coach)
    nothing_is_left_in_the_outbox(owner)
    sign_in_again_with_the_passkey(owner, postbox, axe, shot)
    the_link_is_spent(somebody(), link)


def become_the_owner(page: Any, link: str, axe: Any, shot: Any) -> None:
    page.goto(link)
    axe(page)
    shot(page, "real-1-first-link")
    page.get_by_label("Your name").fill("Oda Verne")
    page.get_by_label("Your email").fill(OWNER)
    page.get_by_label("A password").fill("first pitch at noon")
    page.get_by_role("button", name="Make me the owner").click()
    page.get_by_role("heading", name="First steps").wait_for()
    axe(page)
    shot(page, "real-2-first-steps")


def take_a_passkey(page: Any, axe: Any, shot: Any) -> None:
    page.goto("/queue/")
    page.get_by_role("heading", name="A second step at sign-in").wait_for()
    axe(page)
    shot(page, "real-3-second-step")
    give_passkeys(page)
    page.get_by_role("link", name="Add a passkey").click()
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("heading", name="Recovery codes").wait_for()
    axe(page)
    assert page.locator(".codes li").count() == 10
    page.get_by_role("link", name="I have kept them").click()
    page.wait_for_url("/queue/")


def name_the_site_and_try_the_mail(page: Any, postbox: Postbox, axe: Any, shot: Any) -> None:
    page.goto("/owner/start/")
    page.get_by_label("name of the site").fill("Lindholt swings")
    page.get_by_role("button", name="Save this name").click()
    page.locator("header").get_by_text("Lindholt swings").wait_for()
    page.get_by_role("button", name="Send me a test email").click()
    page.get_by_text("250 2.0.0 queued in the postbox").wait_for()
    assert "You need not do anything" in postbox.newest(OWNER)
    axe(page)
    shot(page, "real-4-mail-tested")


def make_the_camp(page: Any) -> None:
    page.get_by_role("link", name="Make the first camp").click()
    page.get_by_label("Name").fill("Lindholt fall camp")
    page.get_by_label("Place").fill("Lindholt")
    page.get_by_role("button", name="Make the camp").click()
    page.get_by_role("heading", name="Lindholt fall camp").wait_for()


def invite_a_coach(page: Any, axe: Any, shot: Any) -> None:
    page.goto("/owner/people/")
    page.get_by_label("The coach’s email").fill(COACH)
    page.get_by_label("Lindholt fall camp").check()
    page.get_by_role("button", name="Send the invitation").click()
    page.get_by_text("is on its way").wait_for()
    axe(page)
    shot(page, "real-5-people")


def come_in_as_the_coach(page: Any, postbox: Postbox, axe: Any, shot: Any) -> None:
    link = re.search(r"http://\S+/join/coach/\S+", postbox.newest(COACH, "coach"))
    assert link
    page.goto(link[0])
    axe(page)
    page.get_by_role("button", name="Email me the code").click()
    page.get_by_label("Code").fill(postbox.code(COACH))
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("Your name").fill("Ansa Brock")
    shot(page, "real-6-join-coach")
    page.get_by_role("button", name="Start").click()
    page.get_by_role("link", name="Set up the app").click()
    page.get_by_text("cannot scan?").wait_for()
    axe(page)
    shot(page, "real-7-app")
    page.get_by_text("cannot scan?").click()
    secret = page.locator("#authenticator_secret").inner_text()
    page.get_by_label("code").fill(digits(secret))
    page.get_by_role("button", name="That’s it").click()
    page.get_by_role("link", name="I have kept them").click()
    page.wait_for_url("/queue/")


def coach_reads_the_invite_link(page: Any) -> str:
    page.goto("/camps/")
    page.get_by_role("link", name="Lindholt fall camp").click()
    return str(page.get_by_label("Invite link").last.input_value())


def send_a_clip(page: Any, invite_link: str, postbox: Postbox) -> None:
    page.goto(invite_link)
    page.get_by_label("Your email").fill(PARENT)
    page.get_by_role("button", name="Email me the code").click()
    page.get_by_label("Code").fill(postbox.code(PARENT))
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("First name").fill("Ivo")
    page.get_by_label("Birth year").fill(str(date.today().year - 12))
    page.get_by_label("Your own name").fill("Nele Brandt")
    page.get_by_label("I am this player’s parent").check()
    page.get_by_role("button", name="Next: how to film").click()
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose the clip").click()
    chooser.value.set_files(shortened(*ROWAN))
    page.wait_for_url(re.compile(r"/submissions/[0-9a-f-]{36}/$"))
    page.get_by_text(re.compile("will look at it by")).first.wait_for(timeout=MEASURED_WITHIN_MS)


def review_and_publish(page: Any, axe: Any, shot: Any) -> None:
    page.goto("/queue/")
    page.get_by_role("button", name="Review Ivo").click()
    page.wait_for_url("**/desk/**")
    page.locator("#film[data-frame], #frame-words:not(:empty)").first.wait_for()
    page.keyboard.press("3")
    page.get_by_role("heading", name="Foot down").wait_for()
    point = page.locator("[data-checkpoint]:visible").first
    point.locator(".name").click()
    with page.expect_response(lambda answer: "/rating/" in answer.url and answer.ok):
        point.get_by_text("work on", exact=True).click()
    with page.expect_response(lambda answer: "/draft/" in answer.url and answer.ok):
        point.locator("[data-do=thing]").click()
    page.locator("#write-up-toggle").click()
    page.locator("#greeting").fill("You sent a fine clip, Ivo.")
    page.locator("#good-add").click()
    page.locator("#good textarea, #good input").last.fill("Both knees bend when your foot lands.")
    page.locator("#thing-title").fill("A quieter head")
    page.locator("#thing-words").fill("A moving head makes every pitch look faster than it is.")
    page.locator("#library summary").click()
    with page.expect_response(lambda answer: "/assignment/" in answer.url and answer.ok):
        page.locator("#drills button").first.click()
    page.locator("#closing").fill("Send me another clip in six weeks.")
    page.locator("#closing").blur()
    page.keyboard.press("Escape")
    page.locator("a.stop[data-stop=preview]").click()
    page.locator("#preview").get_by_text("Send me another clip").first.wait_for()
    shot(page, "real-8-preview")
    page.locator("#publish-open").click()
    with page.expect_navigation():
        page.locator("#publish-form").get_by_role("button", name="Publish").click()


def read_the_evaluation(page: Any, postbox: Postbox, axe: Any, shot: Any) -> None:
    link = re.search(r"http://\S+/evaluations/\S+", postbox.newest(PARENT, "evaluation"))
    assert link
    page.goto(link[0])
    for words in ("You sent a fine clip, Ivo.", "A quieter head", "Both knees bend when your foot lands."):
        page.get_by_text(words).first.wait_for()
    axe(page)
    shot(page, "real-9-evaluation")


def delete_it(page: Any, coach: Any) -> None:
    """The clip is withdrawn by the family's own button, and then the family is erased by another."""
    evaluation = page.url
    page.goto("/family/")
    page.locator(".sent a.line").first.click()
    page.get_by_role("link", name="Withdraw, and delete the clips").click()
    page.get_by_role("button", name="Delete everything").click()
    page.wait_for_url(re.compile(r"/submissions/[0-9a-f-]{36}/$"))
    with coach.watch.allowing("404"):
        assert coach.goto(evaluation).status == 404
    page.goto("/family/")
    page.get_by_role("link", name="Erase my sign-in").click()
    page.get_by_label("Yes, erase all of this for good.").check()
    page.get_by_role("button", name="Erase for good").click()
    page.get_by_role("heading", name="It is erased").wait_for()
    coach.goto("/camps/")
    coach.get_by_role("link", name="Lindholt fall camp").click()
    coach.get_by_role("heading", name="Lindholt fall camp").wait_for()
    assert coach.get_by_text("Ivo").count() == 0


def nothing_is_left_in_the_outbox(page: Any) -> None:
    page.goto("/owner/outbox/")
    page.get_by_text(COACH).first.wait_for()
    assert page.get_by_text(PARENT).count() == 0


def sign_in_again_with_the_passkey(page: Any, postbox: Postbox, axe: Any, shot: Any) -> None:
    page.goto("/accounts/logout/")
    page.get_by_role("button", name="Sign out").click()
    page.goto("/accounts/login/code/")
    page.get_by_label("Email").fill(OWNER)
    page.get_by_role("button", name="Send the code").click()
    page.get_by_label("Code").fill(postbox.code(OWNER))
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("heading", name="The second step").wait_for()
    axe(page)
    shot(page, "real-10-second-step-asked")
    page.get_by_role("button", name="Use my passkey").click()
    page.get_by_role("heading", name="Lindholt swings").wait_for()
    page.goto("/admin/")
    page.get_by_role("heading", name="All tables").wait_for()


def the_link_is_spent(page: Any, link: str) -> None:
    with page.watch.allowing("410"):
        assert page.goto(link).status == 410
