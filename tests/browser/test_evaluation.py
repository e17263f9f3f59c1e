"""The evaluation as a family has it: on a phone, on a screen, on paper, and what can be done in it."""

from __future__ import annotations

import io
from typing import Any

import pytest
from django.conf import settings
from pypdf import PdfReader

from analysis.read import read
from analysis.tracks import load
from portal.demo import write_up
from portal.desk import drafts
from portal.drills.library import load as load_drills
from portal.drills.models import Drill
from portal.evaluations.models import Evaluation, PracticeDay
from portal.evaluations.pdf import keep_pdf
from portal.evaluations.publish import publish
from portal.people.models import User
from tests.browser.conftest import DESKTOP, PHONE, ROOT, SHOTS
from tests.browser.desk_film import coach_with_film, until
from tests.browser.width import fits
from tests.products import write_products

FILM = "hazel_child_two_swings"
DARK = {"color_scheme": "dark"}


@pytest.fixture(scope="session")
def measured(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """The rendered film of a child with two swings, measured: its products and its result."""
    folder = tmp_path_factory.mktemp("film")
    clip = ROOT / "tests" / "films" / "out" / f"{FILM}.mp4"
    tracks = load(ROOT / "tests" / "analysis" / "read" / "data" / f"{FILM}.tracks.npz")
    result = read(tracks).to_json()
    write_products(clip, tracks, result, folder / "products")
    tracks.save(folder / "products" / "tracks.npz")
    return folder / "products", result


@pytest.fixture
def edition(site: str, measured: Any) -> Evaluation:
    """What a coach made of that film: ratings, words, pictures, and a plan of two drills."""
    load_drills()
    coach, review = coach_with_film(*measured)
    write_up.write(review.submission)
    review.refresh_from_db()
    if review.assignments.count() < 2:
        other = Drill.objects.exclude(pk__in=review.assignments.values("drill")).get(slug="statue")
        drafts.assign(other, set_up=other.set_up, goal=other.goal, words="")(review)
    return publish(review, coach)


@pytest.fixture
def open_it(open_page, sign_in, edition):
    """open_it(**options of the page): the family's page of the evaluation."""

    def open_one(**options: Any) -> Any:
        page = open_page(**options)
        sign_in(page, User.objects.get(email="lea@example.org"))
        page.goto(f"/evaluations/{edition.pk}/")
        return page

    return open_one


def test_a_day_is_ticked_in_place(open_it, edition):
    page = open_it(**PHONE)
    box = page.locator(".drill").last.locator("[data-ticks]")
    today = box.get_by_role("button").last
    today.scroll_into_view_if_needed()
    before = page.evaluate("scrollY")
    page.evaluate("window.isSame = true")
    today.click()
    until(page, "document.querySelector('.days [aria-pressed=true]')")
    asked = edition.snapshot["plan"][-1]["days"]
    assert box.get_by_role("status").inner_text() == f"1 of {asked} days this week"
    assert page.evaluate("[scrollY, window.isSame, document.activeElement.ariaPressed]") == [before, True, "true"]
    page.keyboard.press("Enter")
    until(page, "!document.querySelector('.days [aria-pressed=true]')")
    assert PracticeDay.objects.count() == 0


def test_a_tick_works_without_scripts(open_it, edition):
    page = open_it(**PHONE, java_script_enabled=False)
    page.locator("[data-ticks] button").last.click()
    page.wait_for_url("**/#*")
    assert edition.practice_days.count() == 1
    assert page.locator("[data-ticked]").last.inner_text().startswith("1 of ")


def test_a_tick_without_a_line_says_so_and_one_after_signing_out_leads_to_the_sign_in(open_it):
    page = open_it(**PHONE)
    page.context.set_offline(True)
    page.locator("[data-ticks] button").last.click()
    page.get_by_text("Not noted: there is no connection just now.").wait_for()
    page.watch.complaints.clear()
    page.context.set_offline(False)
    page.context.clear_cookies(name=settings.SESSION_COOKIE_NAME)
    page.locator("[data-ticks] button").last.click()
    page.get_by_label("Password").wait_for()
    assert PracticeDay.objects.count() == 0
    page.watch.complaints.clear()


def test_a_question_and_its_answer_stand_on_the_page(open_it, open_page, sign_in, edition, axe, shot):
    page = open_it(**PHONE)
    page.get_by_label("Your question").fill("Is the tee on her side of the plate?")
    page.get_by_role("button", name="Send the question").click()
    page.get_by_text("No answer yet.").wait_for()
    coach = open_page(**DESKTOP)
    sign_in(coach, User.objects.get(email="maren@example.org"))
    coach.goto("/queue/?list=asked")
    shot(coach, "queue-asked")
    coach.get_by_role("link", name="a question waits").click()
    coach.get_by_label("Your answer").wait_for()
    axe(coach)
    coach.get_by_label("Your answer").fill("In the middle, please.")
    coach.get_by_role("button", name="Send the answer").click()
    coach.get_by_text("Your answer is sent.").wait_for()
    page.reload()
    page.get_by_text("In the middle, please.").wait_for()
    axe(page)
    fits(page)
    page.locator("#questions").scroll_into_view_if_needed()
    page.screenshot(path=str(SHOTS / "evaluation-questions.png"))


def watching(page):
    page.get_by_role("button", name="Watch the swing").click()
    until(page, "document.body.dataset.watching")


def shown(page):
    return int(page.locator("#watch-canvas").get_attribute("data-frame"))


def marks_of(edition):
    film = edition.snapshot["film"]["watch"]
    return sorted(p["frame"] for p in edition.snapshot["pictures"] if film["first"] <= p["frame"] <= film["last"])


def test_the_film_plays_slowly_and_stops_at_each_frame_the_coach_drew_on(open_it, edition, axe, shot):
    page = open_it(**PHONE)
    assert not page.evaluate("performance.getEntriesByType('resource').some((one) => one.name.includes('/clips/'))")
    watching(page)
    film, marks = edition.snapshot["film"]["watch"], marks_of(edition)
    assert marks
    assert shown(page) == film["first"]
    page.locator("#watch-rate").select_option("0.5")
    for frame in marks:
        page.locator("#watch-play").click()
        until(
            page,
            f"document.getElementById('watch-canvas').dataset.frame === '{frame}' && !document.getElementById('watch-mark').hidden",
        )
        assert page.locator("#watch-mark").get_attribute("alt")
        assert page.locator("#watch-play").inner_text() == "Go on"
    page.locator("#watch").scroll_into_view_if_needed()
    axe(page)
    fits(page)
    page.locator("section.watch").screenshot(path=str(SHOTS / "evaluation-film-mark.png"))
    page.locator("#watch-play").click()
    until(page, f"document.getElementById('watch-canvas').dataset.frame === '{film['last']}'")
    assert page.locator("#watch-play").inner_text() == "From the start"
    page.locator("section.watch").screenshot(path=str(SHOTS / "evaluation-film-end.png"))


NOTED = """() => {
    window.noted = { count: [], said: [] };
    for (const name of ["count", "said"]) {
        const box = document.getElementById(`watch-${name}`);
        new MutationObserver(() => {
            if (document.getElementById("watch-play").textContent === "Pause") window.noted[name].push(box.textContent);
        }).observe(box, { childList: true });
    }
}"""


def test_the_counter_follows_the_film_and_is_read_aloud_only_where_it_stops(open_it, edition):
    page = open_it(**PHONE)
    watching(page)
    count, said = page.locator("#watch-count"), page.locator("#watch-said")
    film, mark = edition.snapshot["film"]["watch"], marks_of(edition)[0]
    all_of_them = film["last"] - film["first"] + 1
    assert count.inner_text() == said.text_content() == f"Frame 1 of {all_of_them}"
    page.evaluate(NOTED)
    page.locator("#watch-play").click()
    until(page, f"document.getElementById('watch-canvas').dataset.frame === '{mark}'")
    until(page, "!document.getElementById('watch-mark').hidden")
    noted = page.evaluate("window.noted")
    assert f"Frame {mark - film['first']} of {all_of_them}" in noted["count"]  # the last one before the mark
    assert len(set(noted["count"])) >= 2
    assert set(noted["said"]) <= {""}
    assert count.is_hidden()
    assert said.inner_text()
    page.get_by_role("button", name="One frame on").click()
    until(page, f"document.getElementById('watch-canvas').dataset.frame === '{mark + 1}'")
    assert count.inner_text() == said.text_content() == f"Frame {mark + 2 - film['first']} of {all_of_them}"
    assert count.get_attribute("aria-hidden") == "true"


def test_the_film_goes_by_keys(open_it, edition):
    page = open_it(**DESKTOP)
    watching(page)
    first, last = (edition.snapshot["film"]["watch"][end] for end in ("first", "last"))
    for key, frame in (
        ("ArrowRight", first + 1),
        ("ArrowRight", first + 2),
        ("ArrowLeft", first + 1),
        ("End", last),
        ("Home", first),
    ):
        page.keyboard.press(key)
        until(page, f"document.getElementById('watch-canvas').dataset.frame === '{frame}'")
    page.keyboard.press("Enter")
    until(page, "document.getElementById('watch-play').textContent === 'Pause'")
    page.keyboard.press("Enter")
    until(page, "document.getElementById('watch-play').textContent !== 'Pause'")
    page.locator("section.watch").screenshot(path=str(SHOTS / "evaluation-film-screen.png"))


def test_the_film_does_not_move_where_the_device_asks_for_that(open_it, edition):
    page = open_it(**PHONE, reduced_motion="reduce")
    watching(page)
    assert page.locator("#watch-play").inner_text() == "To the next picture"
    page.locator("#watch-play").click()
    until(page, f"document.getElementById('watch-canvas').dataset.frame === '{marks_of(edition)[0]}'")
    assert page.locator("#watch-mark").is_visible()


@pytest.mark.parametrize(
    ("name", "options"),
    [("phone", PHONE), ("phone-dark", {**PHONE, **DARK}), ("screen", DESKTOP), ("dark", {**DESKTOP, **DARK})],
)
def test_the_page_fits_and_is_in_order(open_it, axe, shot, name, options):
    page = open_it(**options)
    fits(page)
    axe(page)
    shot(page, f"evaluation-{name}")
    page.locator(".numbers summary").click()
    fits(page)
    shot(page, f"evaluation-{name}-numbers")


def test_the_pdf_is_two_pages_and_an_annex(edition):
    assert keep_pdf(edition)
    from django.core.files.storage import default_storage

    made = default_storage.open(Evaluation.objects.get().pdf).read()
    SHOTS.mkdir(exist_ok=True)
    (SHOTS / "evaluation.pdf").write_bytes(made)
    texts = [page.extract_text() for page in PdfReader(io.BytesIO(made)).pages]
    (annex,) = [n for n, text in enumerate(texts) if "What your coach looked at" in text]
    assert annex <= 2
    assert any("All numbers" in text for text in texts[annex:])
