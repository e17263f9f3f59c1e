"""What is typed in a form is still there after a reload and after a session that ended, goes once, and leaves nothing behind."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.contrib.sessions.models import Session
from django.core import mail

from portal.desk.models import HandOver, Phrase, Review
from portal.evaluations import asking
from portal.evaluations.models import Question
from portal.evaluations.publish import publish
from portal.intake.models import Submission
from portal.intake.states import State
from portal.outbox.models import Email
from portal.people.models import User
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.desk_film import coach_with_film, until, write_film
from tests.browser.width import fits
from tests.portal import conftest as people
from tests.portal.people.test_player_sign_in import code_in
from tests.servers import wait_until

AGAIN = "What you typed before is here again."


@pytest.fixture(scope="session")
def film() -> tuple[Path, dict[str, Any]]:
    return write_film(frames=60, size=(320, 180), fps=60, jitter=0)


@pytest.fixture
def review(site, film):
    return coach_with_film(*film)[1]


@pytest.fixture
def edition(review):
    Review.objects.filter(pk=review.pk).update(greeting="Hi Ida!", thing_title="Keep the front foot closed")
    review.refresh_from_db()
    return publish(review, User.objects.get(email="maren@example.org"))


@pytest.fixture
def signed_in(open_page, sign_in):
    def open_one(email: str, address: str, **options: Any) -> Any:
        page = open_page(**(options or DESKTOP))
        sign_in(page, User.objects.get(email=email))
        page.goto(address)
        return page

    return open_one


def sign_in_by_code(page: Any, email: str) -> None:
    """As somebody does whom a form led to the sign-in."""
    page.wait_for_url("**/accounts/login/**")
    page.get_by_role("link", name="Email me a code").click()
    page.locator("input[name=email]").fill(email)
    page.get_by_role("button", name="Send the code").click()
    page.wait_for_url("**/code/confirm/**")
    page.get_by_label("Code").fill(code_in(mail.outbox[-1]))
    page.get_by_role("button", name="Go on").click()
    page.wait_for_url(lambda url: not urlsplit(url).path.startswith("/accounts/"))


def kept(page: Any) -> str:
    """All that the browser's stores hold, as one text."""
    return page.evaluate("JSON.stringify([{ ...localStorage }, { ...sessionStorage }])")


def forgotten(page: Any, words: str) -> None:
    """Neither store holds the words. A page that has come may still be about to forget them: its text is there before its modules run."""
    assert wait_until(lambda: words not in kept(page), 20), kept(page)


def test_a_reload_in_the_middle_of_a_question_loses_nothing_and_leaves_nothing(signed_in, edition, axe, shot):
    page = signed_in("lea@example.org", f"/evaluations/{edition.pk}/", **PHONE)
    page.get_by_label("Your question").press_sequentially("Is the tee hi")
    page.reload()
    page.get_by_text(AGAIN).wait_for()
    field = page.get_by_label("Your question")
    assert field.input_value() == "Is the tee hi"
    axe(page)
    fits(page)
    shot(page, "kept-words-phone")
    field.press("End")
    field.press_sequentially("gh enough?")
    page.get_by_role("button", name="Send the question").click()
    page.get_by_text("No answer yet.").wait_for()
    assert Question.objects.get().words == "Is the tee high enough?"
    forgotten(page, "tee")
    page.reload()
    assert page.get_by_label("Your question").input_value() == ""
    assert page.get_by_text(AGAIN).count() == 0


def test_a_session_that_ended_in_the_middle_of_an_answer_loses_nothing(signed_in, edition):
    asking.ask(edition, User.objects.get(email="lea@example.org"), "Is the tee high enough?")
    page = signed_in("maren@example.org", f"/evaluations/{edition.pk}/")
    page.get_by_label("Your answer").fill("At the belt, a hand before the plate.")
    Session.objects.all().delete()
    page.get_by_role("button", name="Send the answer").click()
    sign_in_by_code(page, "maren@example.org")
    page.wait_for_url(f"**/evaluations/{edition.pk}/#questions")
    page.get_by_text(AGAIN).wait_for()
    assert page.get_by_label("Your answer").input_value() == "At the belt, a hand before the plate."
    assert Question.objects.get().answer == ""
    page.get_by_role("button", name="Send the answer").click()
    page.get_by_text("Your answer is sent.").wait_for()
    assert Question.objects.get().answer == "At the belt, a hand before the plate."
    assert Email.objects.filter(body__contains="At the belt").count() == 1
    forgotten(page, "belt")


def test_what_the_site_did_not_take_goes_on_being_kept(signed_in, edition):
    page = signed_in("lea@example.org", f"/evaluations/{edition.pk}/")
    lea = User.objects.get(email="lea@example.org")
    for words in ("One?", "Two?", "Three?"):
        asking.ask(edition, lea, words)
    page.get_by_label("Your question").fill("And a fourth one?")
    page.get_by_role("button", name="Send the question").click()
    page.get_by_text("Three questions of yours wait already.").wait_for()
    assert page.get_by_label("Your question").input_value() == "And a fourth one?"
    page.goto(f"/evaluations/{edition.pk}/")
    page.get_by_text(AGAIN).wait_for()
    page.get_by_role("button", name="Start over").click()
    assert page.get_by_label("Your question").input_value() == ""
    forgotten(page, "fourth")


def test_why_to_film_again_survives_a_reload_and_a_session(signed_in, review):
    page = signed_in("maren@example.org", f"/submissions/{review.submission_id}/film-again/")
    field = page.get_by_label("What should they film differently?")
    proposed = field.input_value()
    field.fill("Please stand further away, so that the bat stays in the picture.")
    page.reload()
    assert field.input_value().startswith("Please stand further away")
    page.get_by_role("button", name="Start over").click()
    assert field.input_value() == proposed
    field.fill("Please stand further away, so that the bat stays in the picture.")
    Session.objects.all().delete()
    page.get_by_role("button", name="Send to the family").click()
    sign_in_by_code(page, "maren@example.org")
    page.get_by_text(AGAIN).wait_for()
    page.get_by_role("button", name="Send to the family").click()
    page.get_by_text("has your words").wait_for()
    review.submission.refresh_from_db()
    assert review.submission.state == State.FILM_AGAIN
    assert review.submission.film_again_words.startswith("Please stand further away")
    forgotten(page, "further")


def test_a_word_when_handing_over_and_a_phrase_are_kept(signed_in, review):
    tibor = people.make_user("tibor@example.org", "Tibor Quist", is_coach=True)
    review.submission.camp.coaches.add(tibor)
    page = signed_in("maren@example.org", "/queue/?list=mine")
    page.get_by_label("A word for them").fill("Her knee again.")
    page.goto("/phrases/")
    page.get_by_label("Phrase", exact=True).fill("Let the hands wait.")
    page.reload()
    page.get_by_text(AGAIN).wait_for()
    page.get_by_role("button", name="Keep this phrase").click()
    page.get_by_text("Kept in your phrase book.").wait_for()
    assert Phrase.objects.get().text == "Let the hands wait."
    assert page.get_by_label("Phrase", exact=True).input_value() == ""
    page.goto("/queue/?list=mine")
    page.get_by_text(AGAIN).wait_for()
    page.get_by_role("button", name="Hand over").click()  # nothing is ticked
    page.get_by_text("tick the players first").wait_for()
    assert page.get_by_label("A word for them").input_value() == "Her knee again."
    page.get_by_label("Hand over Ida").check()
    page.get_by_role("button", name="Hand over").click()
    page.get_by_text("is with Tibor Quist now").wait_for()
    assert HandOver.objects.get().words == "Her knee again."
    forgotten(page, "kept-words")


def test_a_familys_note_is_put_back_where_it_is_seen(signed_in, review):
    Submission.objects.filter(pk=review.submission_id).update(state=State.READY, reviewer=None)
    page = signed_in("lea@example.org", f"/submissions/{review.submission_id}/")
    page.get_by_text("A word for the coach", exact=True).click()
    page.locator("textarea[name=note]").fill("She lands early since spring.")
    page.reload()
    page.get_by_text(AGAIN).wait_for()  # visible: what holds the form is open
    page.get_by_role("button", name="Save the note").click()
    page.get_by_text("The coach will read your note.").wait_for()
    assert Submission.objects.get().note == "She lands early since spring."
    forgotten(page, "spring")


@pytest.fixture
def who(signed_in, review):
    """The page on which a guardian names another child, who has one already."""
    camp = review.submission.camp
    return signed_in("lea@example.org", f"/join/{camp.invite_token}/who/", **PHONE)


def name_another(page: Any) -> None:
    page.get_by_text("Somebody else").click()
    page.get_by_label("First name").press_sequentially("Runa")
    page.get_by_label("Birth year").press_sequentially("2015")
    page.get_by_label("Hits").select_option("left")
    page.get_by_label("I am the player myself").check()
    page.locator("input[name=agree]").check()


def test_who_is_hitting_is_there_again_in_this_tab_alone_and_goes_as_it_is_sent(who, axe, shot):
    name_another(who)
    assert "Runa" in kept(who)
    assert "Runa" not in who.evaluate("JSON.stringify({ ...localStorage })")
    who.reload()
    who.get_by_text(AGAIN).wait_for()  # visible: "Somebody else" is open
    assert who.get_by_label("First name").input_value() == "Runa"
    assert who.get_by_label("Birth year").input_value() == "2015"
    assert who.get_by_label("Hits").input_value() == "left"
    assert who.get_by_label("I am the player myself").is_checked()
    assert not who.locator("input[name=agree]").is_checked()
    axe(who)
    fits(who)
    shot(who, "kept-who-phone")
    who.get_by_label("My child").check()
    who.locator("input[name=agree]").check()
    who.evaluate(
        "document.getElementById('who').addEventListener('submit', () => (document.title = JSON.stringify({ ...sessionStorage })))"
    )
    who.route(
        "**/who/", lambda route: route.fulfill(status=204) if route.request.method == "POST" else route.fallback()
    )
    who.get_by_role("button", name="Next: how to film").click()
    until(who, "document.title.startsWith('{')")
    assert "Runa" not in who.title()  # before an answer came
    who.unroute("**/who/")
    who.get_by_role("button", name="Next: how to film").click()
    who.wait_for_url("**/clip/")
    assert "Runa" not in kept(who)
    assert Submission.objects.filter(player__first_name="Runa").count() == 1


def test_who_is_hitting_starts_over_and_goes_with_another_account(who, sign_in):
    name_another(who)
    who.reload()
    who.get_by_role("button", name="Start over").click()
    assert who.get_by_label("First name").input_value() == ""
    assert who.get_by_label("My child").is_checked()
    assert who.get_by_text(AGAIN).count() == 0
    forgotten(who, "Runa")
    who.reload()
    assert who.get_by_label("First name").is_hidden()
    name_another(who)
    sign_in(who, User.objects.get(email="maren@example.org"))
    who.goto("/queue/")
    forgotten(who, "Runa")


def test_signing_out_and_another_account_find_nothing(signed_in, sign_in, open_page, edition):
    address = f"/evaluations/{edition.pk}/"
    page = signed_in("lea@example.org", address)
    page.get_by_label("Your question").fill("Does Ida stand too close?")
    assert "Ida" in kept(page)
    sign_in(page, User.objects.get(email="maren@example.org"))  # the session ended, and somebody else is at the device
    page.goto("/queue/")
    forgotten(page, "Ida")
    sign_in(page, User.objects.get(email="lea@example.org"))
    page.goto(address)
    page.get_by_label("Your question").fill("Does Ida stand too close?")
    page.goto("/accounts/logout/")
    assert "Ida" in kept(page)
    page.route(
        "**/accounts/logout/", lambda route: route.fulfill(status=204)
    )  # a site without TLS: its answer erases nothing
    page.get_by_role("button", name="Sign out").click()
    until(page, "!Object.keys(localStorage).some((key) => key.startsWith('kept-words'))")


def test_words_of_last_week_are_gone(signed_in, edition):
    page = signed_in("lea@example.org", f"/evaluations/{edition.pk}/")
    page.get_by_label("Your question").fill("Does Ida stand too close?")
    page.evaluate("localStorage.setItem('desk-sound', 'on')")
    page.evaluate("""Object.keys(localStorage).filter((key) => key.startsWith('kept-words')).forEach((key) => {
        const held = JSON.parse(localStorage.getItem(key));
        localStorage.setItem(key, JSON.stringify({ ...held, at: held.at - 8 * 24 * 3600 * 1000 }));
    })""")
    page.context.clear_cookies()
    page.goto("/accounts/login/")  # whoever opens the site next, signed in or not
    assert page.evaluate("Object.keys(localStorage)") == ["desk-sound"]
