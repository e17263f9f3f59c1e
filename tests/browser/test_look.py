"""The component page, the drill library and the evaluation in a real browser: photographed, checked by axe-core, tried.

Every page is looked at on a phone and on a desktop, in light and in dark; none may scroll sideways.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from portal.camps.models import Camp
from portal.desk.models import Assignment, MarkUp, Rating, Review
from portal.drills.library import load
from portal.drills.models import Drill
from portal.evaluations import access_log, tasks
from portal.evaluations.models import PracticeDay, What
from portal.evaluations.publish import publish
from portal.intake.states import State
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.width import fits
from tests.portal import conftest as people
from tests.portal import material

SIZES = {"phone": PHONE, "desktop": DESKTOP}
LOOKS = [
    ("phone", "light"),
    ("desktop", "dark"),
]  # layout hangs on the size, contrast on the theme: no pair of them is needed
SHAPES = [
    {"kind": "line", "points": [[100, 20], [100, 160]], "tone": "wanted"},
    {"kind": "ring", "points": [[200, 90], [220, 90]], "tone": "coach"},
]


@pytest.fixture
def coach(site):
    return people.make_user("maren@example.org", "Maren Oduya", is_coach=True)


@pytest.fixture
def guardian(site):
    return people.make_user("lea@example.org", "Lea Sandvall")


@pytest.fixture
def evaluation(coach, guardian, tmp_path, monkeypatch):
    """A published edition with everything in it."""
    load()
    camp = Camp.objects.create(name="Lindholt fall camp")
    camp.coaches.add(coach)
    submission = people.make_submission(people.make_player(camp, guardian), camp, State.IN_REVIEW, reviewer=coach)
    products = tmp_path / "products"
    products.mkdir()
    material.write_products(products)
    clip = people.make_measured_clip(submission, products)
    review = Review.objects.create(
        submission=submission, clip=clip, greeting="Thank you for the clip.", good=["You stay tall to the end."],
        thing_checkpoint="down_foot_opening", thing_title="Keep the front foot closed a little longer",
        thing_words="Your hips can then turn all at once.", closing="See you in spring.",
    )  # fmt: skip
    for checkpoint, rate in (("down_front_knee", "good"), ("down_foot_opening", "work_on"), ("contact_palms", "watch")):
        Rating.objects.create(review=review, checkpoint=checkpoint, rate=rate)
    MarkUp.objects.create(review=review, clip=clip, frame=26, instant="foot_down", shapes=SHAPES, for_thing=True)
    Assignment.objects.create(review=review, drill=Drill.objects.get(slug="land-on-the-chalk"))
    monkeypatch.setattr(tasks.make_pdf, "delay", lambda pk: None)
    return publish(review, coach)


@pytest.fixture
def photograph(open_page, sign_in, axe, shot):
    """photograph(user, address, name): open the page in every look, check it, keep pictures; gives the last page."""

    def take(user, address, name):
        for size, scheme in LOOKS:
            page = open_page(**SIZES[size], color_scheme=scheme)
            if user is not None:
                sign_in(page, user)
            page.goto(address)
            axe(page)
            fits(page)
            wanted = "rgb(20, 25, 26)" if scheme == "dark" else "rgb(246, 241, 231)"
            assert page.evaluate("getComputedStyle(document.body).backgroundColor") == wanted
            shot(page, f"look-{name}-{size}-{scheme}")
        return page

    return take


def test_every_component(photograph, coach):
    page = photograph(coach, "/look/", "components")
    assert page.evaluate("document.fonts.check('17px Hyperlegible') && document.fonts.check('650 17px Slab')")


def test_the_library(photograph, coach):
    load()
    page = photograph(coach, "/drills/", "drills")
    page.get_by_role("link", name="Finish", exact=True).click()
    page.get_by_role("link", name="The statue").click()
    page.get_by_role("heading", level=1, name="The statue").wait_for()


def test_one_drill(photograph, coach):
    load()
    photograph(coach, "/drills/land-on-the-chalk/?hits=left", "drill")


def test_a_drill_of_ones_own(photograph, coach):
    photograph(coach, "/drills/add/", "drill-form")


@pytest.fixture
def looked_at(evaluation, coach, site):
    """Five days on which somebody looked, two of them today."""
    submission, now = evaluation.submission, timezone.now()
    owner = people.make_user("oda@example.org", "Oda Verne", is_staff=True, is_superuser=True)
    for day in range(3, -1, -1):
        for minutes, what in enumerate((What.DRAFT, What.FRAMES, What.NUMBERS, What.PICTURES)):
            at = now - timedelta(days=day, minutes=90 * (3 - minutes))
            access_log.note(coach, submission.player, what, submission, at=at)
    access_log.note(owner, submission.player, What.PLAYER, at=now)
    return submission


def test_who_looked_at_a_clip(photograph, guardian, looked_at):
    page = photograph(guardian, f"/submissions/{looked_at.pk}/", "who-looked-clip")
    page.get_by_text("Earlier looks").click()
    assert page.get_by_text("looked at the film frame by frame").last.is_visible()


def test_who_looked_at_a_player(photograph, guardian, looked_at):
    page = photograph(guardian, f"/players/{looked_at.player_id}/", "who-looked-player")
    assert page.get_by_text("Oda Verne, the owner of this site, looked at the player’s page").is_visible()


def test_the_evaluation(photograph, guardian, evaluation):
    page = photograph(guardian, f"/evaluations/{evaluation.pk}/", "evaluation")
    assert page.locator(".one-thing img").evaluate("image => image.complete && image.naturalWidth") > 0


def test_sign_in(photograph, site):
    photograph(None, "/accounts/login/", "sign-in")


def test_a_missing_page(page_phone, axe, shot):
    with page_phone.watch.allowing("404"):
        page_phone.goto("/nothing/is/here/")
    assert page_phone.get_by_role("heading", level=1).inner_text() == "Nothing is here"
    axe(page_phone)
    shot(page_phone, "look-missing-phone-light")


def test_a_player_ticks_today_and_takes_it_back(page_phone, sign_in, guardian, evaluation):
    sign_in(page_phone, guardian)
    page_phone.goto(f"/evaluations/{evaluation.pk}/")
    today = page_phone.locator(".days button").last
    assert today.get_attribute("aria-pressed") == "false"
    today.click()
    page_phone.locator(".days li:last-child button[aria-pressed=true]").wait_for()
    assert page_phone.locator(".days button").last.get_attribute("aria-pressed") == "true"
    assert PracticeDay.objects.get().drill == "land-on-the-chalk"
    page_phone.locator(".days button").last.click()
    page_phone.locator(".days li:last-child button[aria-pressed=false]").wait_for()
    assert not PracticeDay.objects.exists()


def test_everything_that_a_thumb_meets_is_large_enough(page_phone, sign_in, guardian, evaluation):
    """At least 44 px high: larger than the 24 px of WCAG 2.2, 2.5.8. Links within sentences are left out, as there."""
    sign_in(page_phone, guardian)
    page_phone.goto(f"/evaluations/{evaluation.pk}/")
    small = page_phone.evaluate(
        """[...document.querySelectorAll("button, summary, .nav a, .mark, .act, .quiet, .page-foot a")]
           .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 43.5)
           .map((e) => e.outerHTML.slice(0, 90))"""
    )
    assert small == []


def test_the_chosen_theme_is_remembered_and_can_be_given_up(page_desktop, site):
    page_desktop.goto("/accounts/login/")
    page_desktop.get_by_role("button", name="Dark").click()
    page_desktop.reload()
    assert page_desktop.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(20, 25, 26)"
    assert page_desktop.get_by_role("button", name="Dark").get_attribute("aria-pressed") == "true"
    page_desktop.get_by_role("button", name="As the device").click()
    page_desktop.reload()
    assert page_desktop.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(246, 241, 231)"


def test_the_first_tab_skips_to_the_content(page_desktop, site):
    page_desktop.goto("/accounts/login/")
    page_desktop.keyboard.press("Tab")
    assert page_desktop.evaluate("document.activeElement.textContent") == "Skip to the content"
    page_desktop.keyboard.press("Enter")
    assert page_desktop.evaluate("document.activeElement.id") == "main"


def test_the_strip_of_the_desk_draws_what_the_server_draws(page_desktop, sign_in, coach):
    """strip.js and components/strip.html: the same parts at the same places."""
    sign_in(page_desktop, coach)
    page_desktop.goto("/look/")
    pairs = page_desktop.evaluate(
        """async () => {
          const { strip } = await import(document.querySelector("[data-strip-module]").dataset.stripModule);
          const parts = (box) => [...box.querySelectorAll("svg[role] > *")].map((e) =>
            [e.tagName, ...["class", "x", "x1", "x2", "y", "y1", "y2", "width", "height"].map((a) => e.getAttribute(a))]);
          const made = strip({ scale: [0, 90], band: [25, 60], value: 44, interval: [39, 49], label: "x" });
          return [parts(made), parts(document.querySelector("#look-readings + .look-two .strip"))];
        }"""
    )
    assert pairs[0] == pairs[1]
