"""The desk in a real browser: the walk by keyboard, drawing, corrections, saving through a broken line, two windows, axe."""

from __future__ import annotations

from typing import Any

import pytest

from portal.desk.models import MarkUp, Rating, Review
from portal.intake.models import Submission
from portal.measuring.models import Measurement
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.desk_film import READ_NUMBER, until
from tests.browser.desk_pages import frame_of, ready, standing
from tests.browser.width import fits
from tests.portal import conftest as people
from tests.servers import wait_until

pytest_plugins = ["tests.browser.desk_pages"]


def saved(page: Any) -> None:
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")


def drag(page: Any, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Over the film, in shares of its width and height."""
    box = page.locator("#film-canvas").bounding_box()
    at = [(box["x"] + box["width"] * x, box["y"] + box["height"] * y) for x, y in (start, end)]
    page.mouse.move(*at[0])
    page.mouse.down()
    page.mouse.move(*at[1], steps=5)
    page.mouse.up()


def test_the_walk_goes_by_keyboard_from_stop_to_stop(open_desk):
    page = open_desk()
    until(page, f"desk.film.frame === {frame_of('set_up')}")
    page.keyboard.press("Enter")
    until(page, f"desk.film.frame === {frame_of('load')}")
    assert page.url.endswith("/desk/load/")
    assert page.get_by_role("heading", name="Load").is_visible()
    page.keyboard.press("5")
    until(page, f"desk.film.frame === {frame_of('contact')}")
    page.keyboard.press("ArrowLeft")
    until(page, f"desk.film.frame === {frame_of('contact') - 1}")
    page.go_back()
    until(page, f"desk.film.frame === {frame_of('load')}")
    assert page.locator(".stop[aria-current]").get_attribute("data-stop") == "load"


def test_ratings_and_the_one_thing_go_by_keys_and_the_write_up_grows(open_desk):
    page = open_desk("foot_down")
    for key in ("g", "w", "ArrowUp", "t"):
        page.keyboard.press(key)
    saved(page)
    said = dict(Rating.objects.values_list("checkpoint", "rate"))
    assert said == {"down_front_knee": "good", "down_rear_knee": "work_on"}
    review = Review.objects.get()
    assert review.thing_checkpoint == "down_rear_knee"
    assert review.thing_title
    assert review.thing_words
    page.keyboard.press("u")
    page.locator("#suggestions button").first.click()
    saved(page)
    assert Review.objects.get().good == [page.locator("#good textarea").input_value()]
    assert "1 good, one thing chosen" in page.locator("#write-up-state").text_content()
    assert page.locator("a[data-stop=foot_down] [data-tally]").text_content().startswith("●◇")


def test_keys_write_letters_while_somebody_writes(open_desk):
    page = open_desk("foot_down")
    at = page.evaluate("desk.film.frame")
    page.keyboard.press("n")
    page.keyboard.type("go two, see?")
    page.keyboard.press("ArrowLeft")
    assert page.evaluate("desk.film.frame") == at
    assert wait_until(lambda: Rating.objects.filter(words="go two, see?").exists(), 15)
    assert page.evaluate("desk.walk.stop") == "foot_down"
    assert Rating.objects.get().rate == ""  # words alone rate nothing
    assert page.locator("a[data-stop=foot_down] [data-tally]").text_content().startswith("·")


def test_what_is_drawn_is_kept_undone_and_done_again(open_desk):
    page = open_desk("contact")
    page.keyboard.press("l")
    drag(page, (0.3, 0.3), (0.5, 0.6))
    page.keyboard.press("a")
    page.keyboard.press("x")
    drag(page, (0.6, 0.2), (0.6, 0.5))
    drag(page, (0.6, 0.5), (0.8, 0.5))
    saved(page)
    line, angle = MarkUp.objects.get().shapes
    assert (line["kind"], line["tone"], len(angle["points"]), angle["tone"]) == ("line", "seen", 3, "wanted")
    assert MarkUp.objects.get().instant == "contact"
    page.keyboard.press("z")
    saved(page)
    assert len(MarkUp.objects.get().shapes) == 1
    page.keyboard.press("Shift+Z")
    saved(page)
    assert len(MarkUp.objects.get().shapes) == 2
    page.keyboard.press("Escape")  # out of the angle, whose kinds stand in the line under the film
    page.locator("#caption").fill("Here it is.")
    saved_caption = wait_until(lambda: MarkUp.objects.get().caption == "Here it is.", 10)
    assert saved_caption
    page.reload()
    until(page, "document.body.dataset.ready && desk.film.frame >= 0")
    assert len(page.evaluate("desk.film.marks.at(desk.film.frame).shapes")) == 2


def test_words_are_written_where_the_pointer_is(open_desk):
    page = open_desk("contact")
    page.keyboard.press("b")
    drag(page, (0.4, 0.4), (0.4, 0.4))
    page.keyboard.type("stay closed")
    page.keyboard.press("Enter")
    saved(page)
    shape = MarkUp.objects.get().shapes[0]
    assert (shape["kind"], shape["text"]) == ("words", "stay closed")


def test_an_instant_is_put_where_the_coach_sees_it_and_taken_back(open_desk):
    page = open_desk("load")
    before = frame_of("load")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    until(page, f"desk.film.frame === {before + 3}")
    page.keyboard.press("h")
    until(page, "desk.correcting.isClean && desk.film.swing.instants.load.source === 'coach'")
    measurement = Measurement.objects.get()
    assert measurement.corrections["instants"] == {"0": {"load": before + 3}}
    assert frame_of("load") == before + 3
    until(page, "document.querySelector('[data-card=load] [data-when]').textContent.includes('by you')")
    page.keyboard.press("h")
    until(page, "desk.correcting.isClean && desk.film.swing?.instants.load.source !== 'coach'")
    assert Measurement.objects.get().corrections["instants"] == {}


def test_a_broken_line_loses_nothing(open_desk):
    page = open_desk("foot_down")
    with page.watch.allowing("ERR_INTERNET_DISCONNECTED"):
        page.context.set_offline(True)
        page.keyboard.press("g")
        page.keyboard.press("w")
        until(page, "desk.saving.state === 'trying'")
        assert "Not saved yet" in page.locator("#saved").text_content()
        assert not Rating.objects.exists()
        page.context.set_offline(False)
        until(page, "desk.saving.isClean")
    assert Rating.objects.count() == 2
    assert page.evaluate("Object.keys(localStorage).filter((key) => key.startsWith('desk:')).length") == 0


def test_what_was_not_saved_when_the_window_closed_is_put_in_by_the_next(open_desk, desk_of):
    page = open_desk("foot_down")
    with page.watch.allowing("ERR_INTERNET_DISCONNECTED"):
        page.context.set_offline(True)
        page.keyboard.press("g")
        until(page, "desk.saving.state === 'trying'")
        page.on("dialog", lambda dialog: dialog.accept())  # leaving warns
        page.context.set_offline(False)
        page.reload()
    until(page, "document.body.dataset.ready")
    saved(page)
    assert Rating.objects.get().rate == "good"


def test_a_second_window_is_told_and_goes_on_with_both(open_desk, desk_of):
    _coach, review = desk_of
    page = open_desk("foot_down")
    other = page.context.new_page()
    other.goto(f"/submissions/{review.submission_id}/desk/set_up/")
    until(other, "document.body.dataset.ready")
    other.keyboard.press("g")
    saved(other)
    with page.watch.allowing("409"):
        page.keyboard.press("w")
        until(page, "desk.saving.state === 'stopped'")
    assert "changed in another window" in page.locator("#desk-notice").text_content()
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Load the newest").click()
    until(page, "document.body.dataset.ready && window.desk?.saving.isClean")
    assert sorted(Rating.objects.values_list("rate", flat=True)) == ["good", "watch"]


def test_a_coach_takes_over_with_a_confirmation(open_page, sign_in, desk_of, axe):
    _coach, review = desk_of
    other = people.make_user("tibor@example.org", "Tibor Quist", is_coach=True)
    review.submission.camp.coaches.add(other)
    page = open_page(**DESKTOP)
    sign_in(page, other)
    page.goto(f"/submissions/{review.submission_id}/desk/")
    until(page, "document.body.dataset.ready")
    page.keyboard.press("g")
    assert not Rating.objects.exists()
    axe(page)
    page.get_by_text("Take over", exact=True).click()
    page.get_by_role("button", name="Take it over").click()
    page.get_by_role("heading", name="Set-up").wait_for()
    assert Submission.objects.get().reviewer == other


def test_the_plan_and_the_preview_and_publishing(open_desk, shot):
    page = open_desk("foot_down")
    page.keyboard.press("t")
    page.keyboard.press("8")
    assert page.locator("#publish-open").is_disabled() or page.locator("#missing").is_visible()
    page.locator("#library summary").click()
    page.locator("#drills button").first.click()
    page.locator("#plan input[type=number]").first.fill("5")
    page.locator("#plan input[type=number]").first.blur()
    page.locator("#good-add").click()
    page.locator("#good textarea").last.fill("You finish on balance.")
    page.locator("#good textarea").last.blur()
    saved(page)
    assert Review.objects.get().assignments.get().set_up["rounds"] == 5
    page.locator("#preview").get_by_text("You finish on balance.").wait_for()
    until(page, "!document.querySelector('#publish-open').disabled")
    shot(page, "desk-preview")
    page.locator("#publish-open").click()
    page.locator("#publish-form").get_by_role("button", name="Publish").click()
    page.wait_for_url("**/evaluations/**")
    assert Submission.objects.get().state == "published"


SIZES = {
    "desktop": DESKTOP,
    "large": {"viewport": {"width": 1920, "height": 1080}},
    "phone": PHONE,
    "tablet": {"viewport": {"width": 820, "height": 1180}, "has_touch": True, "is_mobile": True},
}


LINES = """() => [...document.querySelectorAll(".stop .tally")].map((tally) => {
  const range = document.createRange();
  range.selectNodeContents(tally.querySelector("[data-tally]"));
  const stop = tally.closest(".stop").getBoundingClientRect();
  const signs = range.getBoundingClientRect();
  return [new Set([...range.getClientRects()].map((rect) => Math.round(rect.top))).size, signs.right <= stop.right - 4];
})"""


@pytest.mark.parametrize("size", SIZES)
def test_every_tally_stands_on_one_line_inside_its_stop(open_desk, size):
    page = open_desk("foot_down", **SIZES[size])
    assert page.evaluate(LINES) == [[1, True]] * 7
    page.evaluate(
        """() => document.querySelectorAll("[data-tally]").forEach(
          (tally) => (tally.textContent = "◐●◇".repeat(9).slice(0, tally.textContent.length)))"""
    )
    assert page.evaluate(LINES) == [[1, True]] * 7, "with every checkpoint rated"


# Every size and every theme, without all pairs of them: layout hangs on the one, contrast on the other.
@pytest.mark.parametrize(
    ("size", "scheme"), [("phone", "dark"), ("tablet", "light"), ("desktop", "light"), ("large", "dark")]
)
def test_the_desk_is_accessible_and_fits(open_desk, axe, shot, size, scheme):
    page = open_desk("foot_down", **SIZES[size], color_scheme=scheme)
    axe(page)
    fits(page)
    shot(page, f"desk-{size}-{scheme}")
    page.locator("#keys-open").click()
    axe(page)
    page.keyboard.press("Escape")
    page.locator("#write-up-toggle").click()
    page.locator("#library summary").click()
    axe(page)
    page.locator("a[data-stop=preview]").click()
    page.locator("#preview article").wait_for()
    axe(page)


@pytest.mark.parametrize("comes_along", [True, False], ids=["tables in the page", "tables too long for it"])
def test_where_the_frames_lie_and_the_first_is_fetched_once_and_before_the_scripts_run(
    open_desk, monkeypatch, comes_along
):
    page = open_desk("contact")
    if not comes_along:
        monkeypatch.setattr("portal.desk.tables.MOST_BYTES", 100)
    asked = []
    page.on("request", lambda one: asked.append(one.url.rpartition("/")[2]))
    page.reload()
    ready(page)
    beside = ("stills.json", "review.samples.json")
    assert [asked.count(name) for name in beside] == [int(not comes_along)] * 2
    for name in (*(() if comes_along else beside), f"{frame_of('contact')}.jpg"):
        assert asked.count(name) == 1
        began = f"performance.getEntriesByType('resource').find((one) => one.name.endsWith('{name}')).startTime"
        assert page.evaluate(began + " < performance.getEntriesByType('navigation')[0].domInteractive")


@pytest.mark.parametrize("stop", ["set_up", "contact", "extension"])
def test_the_still_that_comes_with_the_page_is_the_frame_that_the_stop_shows(open_desk, desk_of, stop):
    """Also where its instant is not known: extension then shows contact."""
    measured = standing()
    measured.result["swings"][0]["instants"]["extension"]["frame"] = None
    measured.save(update_fields=["result"])
    page = open_desk(stop)
    assert (
        page.evaluate("[desk.film.frame, desk.data.first.frame]")
        == [frame_of("contact" if stop == "extension" else stop)] * 2
    )
    page.evaluate(READ_NUMBER)
    page.evaluate("desk.film.viewport.fit('whole'); desk.film.viewport.draw()")
    assert page.evaluate("numberShown()") == page.evaluate("desk.film.frame")


def test_the_desk_opens_where_the_first_still_does_not_come_by_its_own_address(open_desk, desk_of):
    page = open_desk("contact")
    with page.watch.allowing("500"):
        page.route("**/stills/*.jpg", lambda route: route.fulfill(status=500))
        page.reload()
        ready(page)
    assert page.evaluate("desk.film.frame") == frame_of("contact")
