"""Everything at the desk can be undone, in the order in which it was done, and is named; in a real Chromium."""

from __future__ import annotations

from typing import Any

from portal.desk.models import MarkUp, Rating, Review
from tests.browser.desk_film import until
from tests.browser.desk_pages import drag_in_clip, frame_of, go, ready, settled, standing
from tests.portal import conftest as people

pytest_plugins = ["tests.browser.desk_pages"]


def all_saved(page: Any) -> None:
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    settled(page)


def said(page: Any) -> str:
    return page.locator("#said").text_content()


def test_ratings_strokes_points_and_instants_go_back_in_order_and_are_named(open_desk):
    page = open_desk("contact")
    contact = frame_of("contact")
    page.keyboard.press("g")  # the first checkpoint of the stop
    first = page.evaluate("Object.keys(desk.data.ratings)[0]")
    name = page.evaluate("(id) => desk.data.book[id].name", first)
    page.keyboard.press("l")
    drag_in_clip(page, (200, 100), (300, 200))
    go(page, contact + 2)
    page.keyboard.press("h")
    page.keyboard.press("p")
    page.evaluate("desk.film.tools.points.choose('25')")
    page.evaluate("desk.film.tools.points.nudge([15, 0]); desk.film.tools.points.putDown()")
    all_saved(page)
    assert standing().corrections["instants"] == {"0": {"contact": contact + 2}}
    page.keyboard.press("2")  # elsewhere
    page.keyboard.press("z")
    assert said(page) == "Undid: point moved"
    page.keyboard.press("z")
    assert said(page) == "Undid: Contact moved"
    until(page, f"desk.walk.stop === 'contact' && desk.film.frame === {contact}")
    page.keyboard.press("z")
    assert said(page) == "Undid: stroke"
    page.keyboard.press("z")
    assert said(page) == f"Undid: {name}: good"
    page.keyboard.press("z")
    assert said(page) == "Nothing to undo."
    all_saved(page)
    assert standing().corrections == {"keypoints": [], "bat": [], "instants": {}}
    assert not Rating.objects.exists()
    assert not MarkUp.objects.exists()
    for _ in range(4):
        page.keyboard.press("Shift+Z")
    assert said(page) == "Redid: point moved"
    all_saved(page)
    assert standing().corrections["instants"] == {"0": {"contact": contact + 2}}
    assert [one["frame"] for one in standing().corrections["keypoints"]] == [contact + 2]
    assert Rating.objects.get().rate == "good"
    assert len(MarkUp.objects.get().shapes) == 1


def test_a_reload_takes_nothing_away_that_could_be_undone(open_desk):
    page = open_desk("contact")
    contact = frame_of("contact")
    page.keyboard.press("g")
    first = page.evaluate("Object.keys(desk.data.ratings)[0]")
    name = page.evaluate("(id) => desk.data.book[id].name", first)
    page.keyboard.press("l")
    drag_in_clip(page, (200, 100), (300, 200))
    go(page, contact + 2)
    page.keyboard.press("h")
    all_saved(page)
    page.keyboard.press("u")
    page.locator("#greeting").fill("Hi Ida!")
    page.reload()
    ready(page)
    page.keyboard.press("z")
    assert said(page) == "Undid: greeting"
    assert page.locator("#greeting").input_value() == ""
    page.reload()
    ready(page)
    for what in ("Contact moved", "stroke", f"{name}: good"):
        page.keyboard.press("z")
        assert said(page) == f"Undid: {what}"
    page.keyboard.press("z")
    assert said(page) == "Nothing to undo."
    all_saved(page)
    assert standing().corrections == {"instants": {}}
    assert not Rating.objects.exists()
    assert not MarkUp.objects.exists()
    for _ in range(4):
        page.keyboard.press("Shift+Z")
    assert said(page) == "Redid: greeting"
    all_saved(page)
    assert Review.objects.get().greeting == "Hi Ida!"
    assert len(MarkUp.objects.get().shapes) == 1


def test_what_could_be_undone_is_nobody_elses(open_desk, sign_in, desk_of):
    _coach, review = desk_of
    page = open_desk("contact")
    page.keyboard.press("g")
    all_saved(page)
    page.goto("/queue/")
    kept = "JSON.stringify(sessionStorage)"
    assert ":undo:" in page.evaluate(kept)
    tibor = people.make_user("tibor@example.org", "Tibor Quist", is_coach=True)
    review.submission.camp.coaches.add(tibor)
    sign_in(page, tibor)
    page.goto("/queue/")
    assert ":undo:" not in page.evaluate(kept)


def test_a_rating_by_mouse_goes_back_to_the_one_before(open_desk):
    page = open_desk("foot_down")
    point = page.locator(".stop-card:not([hidden]) .point").nth(2)
    for rate in ("good", "work on"):
        point.get_by_text(rate, exact=True).click()
    page.keyboard.press("5")
    page.get_by_role("button", name="Undo").click()
    until(page, "desk.walk.stop === 'foot_down'")  # the place where it is seen
    assert point.locator("input:checked").get_attribute("value") == "good"
    all_saved(page)
    assert Rating.objects.get().rate == "good"


def test_the_one_thing_is_one_step_with_its_words_and_its_rating(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("t")
    all_saved(page)
    assert Review.objects.get().thing_words
    page.keyboard.press("z")
    assert said(page).startswith("Undid: the one thing: ")
    all_saved(page)
    review = Review.objects.get()
    assert (review.thing_checkpoint, review.thing_title, review.thing_words) == ("", "", "")
    assert not Rating.objects.exists()
    assert page.locator(".point.thing").count() == 0
    assert page.locator("#drills .tag").count() == 0  # the library follows


def test_words_without_a_rating_and_a_rating_taken_back_are_steps_with_names(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("n")
    page.keyboard.type(" ")
    page.keyboard.press("Backspace")  # nothing is said, and that is no step
    assert page.evaluate("desk.undoing.done.length") == 0
    page.keyboard.type("Soft and quiet")
    page.keyboard.press("Escape")
    page.keyboard.press("g")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("g")  # the same again takes it back
    all_saved(page)
    rating = Rating.objects.get()
    assert (rating.rate, rating.words) == ("", "Soft and quiet")
    name = page.evaluate("(id) => desk.data.book[id].name", rating.checkpoint)
    page.keyboard.press("z")
    assert said(page) == f"Undid: {name}: rating taken back"
    all_saved(page)
    assert Rating.objects.get().rate == "good"
    page.keyboard.press("z")
    assert said(page) == f"Undid: {name}: good"
    all_saved(page)
    rating.refresh_from_db()
    assert (rating.rate, rating.words) == ("", "Soft and quiet")
    page.keyboard.press("z")
    assert said(page) == f"Undid: {name}: your words"
    all_saved(page)
    assert not Rating.objects.exists()


def test_words_and_drills_go_back_too(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("u")
    page.locator("#closing").fill("See you")
    page.locator("#library summary").click()
    page.locator("#drills button").first.click()
    page.locator("#plan input[type=number]").first.fill("5")
    page.locator("#pronoun").select_option("she")
    all_saved(page)
    assert Review.objects.get().pronoun == "she"
    page.locator("#write-up-title").focus()
    page.keyboard.press("z")
    assert said(page) == "Undid: he, she or they"
    assert page.locator("#pronoun option:checked").text_content() == "they, until you choose"
    page.keyboard.press("z")
    assert said(page).endswith(" changed")
    page.keyboard.press("z")
    assert said(page).endswith(" assigned")
    assert page.locator("#plan li").count() == 0
    page.keyboard.press("z")
    assert said(page) == "Undid: closing words"
    assert page.locator("#closing").input_value() == ""
    all_saved(page)
    assert (Review.objects.get().closing, Review.objects.get().pronoun) == ("", "")
    assert not Review.objects.get().assignments.exists()
    for _ in range(4):
        page.keyboard.press("Shift+Z")
    all_saved(page)
    assert Review.objects.get().assignments.get().set_up["rounds"] == 5
    assert Review.objects.get().pronoun == "she"


def test_a_sentence_that_was_removed_comes_back(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("u")
    page.locator("#good-add").click()
    page.keyboard.type("You finish on balance.")
    page.get_by_role("button", name="Remove: Good thing 1").click()
    assert page.locator("#good li").count() == 0
    page.keyboard.press("z")
    assert page.locator("#good textarea").input_value() == "You finish on balance."


def test_the_plate_goes_back(open_desk):
    page = open_desk("foot_down")
    go(page, frame_of("foot_down"))
    page.keyboard.press("e")
    page.evaluate("for (let n = 0; n < 4; n++) desk.film.tools.plate.add(n)")
    page.keyboard.press("z")
    assert said(page) == "Undid: corner of the plate"
    page.evaluate("desk.film.tools.plate.add(3); desk.film.tools.plate.add(4)")
    settled(page)
    assert len(standing().corrections["plate"]) == 5
    page.keyboard.press("z")
    assert said(page) == "Undid: plate moved"
    settled(page)
    assert not standing().corrections.get("plate")
