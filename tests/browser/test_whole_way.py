"""The whole way, once, with nothing replaced: a rendered film goes from a parent's phone through the real queue, worker and
pose model to the coach's desk, and comes back as an evaluation that the player reads and a PDF.
"""

from __future__ import annotations

import io
import re
from datetime import date
from typing import Any

import pytest
from django.core import mail
from pypdf import PdfReader

from portal.camps.models import Camp
from portal.desk.models import MarkUp, Rating, Review
from portal.drills.library import load
from portal.evaluations.models import Evaluation
from portal.intake.models import Submission
from portal.intake.states import State
from portal.measuring.models import Measurement
from portal.outbox.models import Email
from tests.films.shortened import ROWAN, shortened
from tests.portal import conftest as people
from tests.portal.people.test_player_sign_in import code_in
from tests.servers import wait_until

pytestmark = [pytest.mark.slow, pytest.mark.films]
MEASURED_WITHIN_MS = 240_000


@pytest.fixture
def worker(start_process) -> Any:
    """The worker that the compose file and `manage.py run` start, on both queues."""
    queues = "measuring,celery"
    return start_process("-m", "celery", "-A", "portal", "worker", "-c", "1", "-Q", queues, "--loglevel", "info")


@pytest.fixture
def camp(site) -> Camp:
    load()
    coach = people.make_user("maren@example.org", "Maren Oduya", is_coach=True)
    camp = Camp.objects.create(name="Lindholt fall camp", place="Lindholt")
    camp.coaches.add(coach)
    return camp


def test_from_the_invite_to_the_evaluation(camp, worker, page_phone, page_desktop, sign_in, axe, shot, site) -> None:
    the_family_sends_a_clip(page_phone, camp, axe)
    it_is_measured(page_phone, worker, shot)
    the_coach_reviews(page_desktop, camp, sign_in, axe, shot)
    the_player_reads(page_phone, axe, shot)
    the_pdf_holds_it(page_phone, site)


def the_family_sends_a_clip(page: Any, camp: Camp, axe: Any) -> None:
    page.goto(f"/join/{camp.invite_token}/")
    page.get_by_label("Your email").fill("nele@example.org")
    page.get_by_role("button", name="Email me the code").click()
    page.get_by_label("Code").fill(code_in(mail.outbox[0]))
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("First name").fill("Ivo")
    page.get_by_label("Birth year").fill(str(date.today().year - 17))
    page.get_by_label("Your own name").fill("Nele Brandt")
    page.get_by_label("I am this player’s parent").check()
    page.get_by_role("button", name="Next: how to film").click()
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose the clip").click()
    chooser.value.set_files(shortened(*ROWAN))
    page.wait_for_url(re.compile(r"/submissions/[0-9a-f-]{36}/$"))


def it_is_measured(page: Any, worker: Any, shot: Any) -> None:
    """The family's page follows by itself until the coach's turn has come."""
    page.get_by_text(re.compile("will look at it by")).first.wait_for(timeout=MEASURED_WITHIN_MS)
    shot(page, "way-1-waiting-for-the-coach")
    measured = Measurement.objects.get()
    assert (measured.is_measured, measured.attempt) == (True, 1), worker.log.read_text()
    film, swings = measured.result["film"], measured.result["swings"]
    assert (film["hand"], film["view"], len(swings)) == ("right", "chest_side", 1)


def the_coach_reviews(page: Any, camp: Camp, sign_in: Any, axe: Any, shot: Any) -> None:
    sign_in(page, camp.coaches.get())
    page.goto("/queue/")
    axe(page)
    shot(page, "way-2-queue")
    page.get_by_role("button", name="Review Ivo").click()
    page.wait_for_url("**/desk/**")
    page.locator("#film[data-frame], #frame-words:not(:empty)").first.wait_for()
    page.keyboard.press("3")  # foot down
    page.get_by_role("heading", name="Foot down").wait_for()
    rate(page, "down_front_knee", "good")
    rate(page, "down_shoulders_square", "work on")
    page.locator("[data-checkpoint=down_shoulders_square] [data-do=thing]").click()
    draw_a_line(page)
    shot(page, "way-3-desk")
    axe(page)
    write(page)
    page.keyboard.press("Escape")
    page.locator("a.stop[data-stop=preview]").click()
    page.locator("#preview").get_by_text("Turn in a little less").first.wait_for()
    shot(page, "way-4-preview")
    axe(page)
    page.locator("#publish-open").click()
    page.locator("#publish-form").get_by_role("button", name="Publish").click()
    assert wait_until(lambda: Submission.objects.get().state == State.PUBLISHED, 30)


def rate(page: Any, checkpoint: str, word: str) -> None:
    point = page.locator(f"[data-checkpoint={checkpoint}]")
    point.locator(".name").click()
    point.get_by_text(word, exact=True).click()
    assert wait_until(lambda: Rating.objects.filter(checkpoint=checkpoint).exists(), 10)


def draw_a_line(page: Any) -> None:
    page.locator("[data-tool=line]").click()
    box = page.locator("#film-canvas").bounding_box()
    x, y = box["x"] + 0.4 * box["width"], box["y"] + 0.33 * box["height"]  # above the shoulders
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 0.10 * box["width"], y, steps=6)
    page.mouse.up()
    assert wait_until(lambda: MarkUp.objects.exists() and bool(MarkUp.objects.get().shapes), 10)
    page.locator("#for-thing").check()


def write(page: Any) -> None:
    page.locator("#write-up-toggle").click()
    page.locator("#greeting").fill("You sent a fine clip, Ivo.")
    page.locator("#good-add").click()
    page.locator("#good textarea, #good input").last.fill("Both knees bend when your foot lands.")
    page.locator("#thing-title").fill("Turn in a little less")
    page.locator("#thing-words").fill("A front shoulder that points at the pitcher when you land lets both eyes see the ball.")
    page.locator("#library summary").click()
    page.locator("#drills button").first.click()
    assert wait_until(lambda: Review.objects.get().assignments.exists(), 10)
    page.locator("#closing").fill("Send me another clip in six weeks.")
    page.locator("#closing").blur()
    assert wait_until(lambda: Review.objects.get().closing != "", 10)


def the_player_reads(page: Any, axe: Any, shot: Any) -> None:
    email = Email.objects.latest("pk")
    address = re.search(r"https?://\S+/evaluations/\S+", str(email.body))
    assert email.to == "nele@example.org"
    assert address
    page.goto(address[0])
    for words in ("You sent a fine clip, Ivo.", "Turn in a little less", "Both knees bend when your foot lands."):
        page.get_by_text(words).first.wait_for()
    pictures = page.locator("article img:visible")
    assert pictures.count() >= 1
    assert all(one.evaluate("image => image.decode().then(() => image.naturalWidth)") > 300 for one in pictures.all())
    axe(page)
    shot(page, "way-5-evaluation")


def the_pdf_holds_it(page: Any, site: str) -> None:
    edition = Evaluation.objects.get()

    def made() -> bool:
        edition.refresh_from_db()
        return bool(edition.pdf)

    assert wait_until(made, 60), "the worker made no PDF"
    answer = page.request.get(f"{site}/evaluations/{edition.pk}/pdf/")
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")
    pdf = PdfReader(io.BytesIO(answer.body()))
    text = "\n".join(one.extract_text() for one in pdf.pages)
    assert "Ivo" in text
    assert "Turn in a little less" in text
    assert any(len(one.images) for one in pdf.pages)
