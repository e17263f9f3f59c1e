"""Keys do what a hand expects: after a click, out of a text field, after a rating, from the queue; in a real Chromium."""

from __future__ import annotations

import re
from typing import Any

import pytest

from portal.desk.models import MarkUp, Rating, Review
from portal.intake.models import Submission
from portal.intake.states import State
from tests.browser.conftest import DESKTOP
from tests.browser.desk_film import until
from tests.browser.desk_pages import drag_in_clip, frame_of, ready, settled
from tests.portal import conftest as people

pytest_plugins = ["tests.browser.desk_pages"]


def all_saved(page: Any) -> None:
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")


CLICKED = {
    "Skeleton": "[data-do=skeleton]",
    "a tone": "[data-tone=wanted]",
    "one frame on": "[data-do=forward]",
    "a stop": "a[data-stop=foot_down]",
    "the write-up": "#write-up-toggle",
}


@pytest.mark.parametrize("what", CLICKED)
def test_no_key_is_swallowed_by_what_was_clicked(open_desk, what):
    page = open_desk("foot_down")
    page.locator(CLICKED[what]).click()
    pressed = page.locator("[data-do=skeleton]").get_attribute("aria-pressed")
    if what == "the write-up":
        page.keyboard.press("u")
        assert page.locator("#write-up").is_hidden()
    page.keyboard.press(" ")
    until(page, "desk.film.play.isOn")
    page.keyboard.press(" ")
    until(page, "!desk.film.play.isOn")
    assert page.locator("[data-do=skeleton]").get_attribute("aria-pressed") == pressed
    page.keyboard.press("g")
    until(page, "Object.keys(desk.data.ratings).length === 1")
    page.keyboard.press("Enter")
    until(page, "desk.walk.stop === 'swing_start'")


def test_after_the_speed_was_chosen_keys_are_the_desks(open_desk):
    page = open_desk("foot_down")
    page.locator("#rate").click()
    page.locator("#rate").select_option("0.5")
    page.keyboard.press("Escape")  # the list that a click opened
    at = page.evaluate("desk.film.frame")
    page.keyboard.press("ArrowRight")
    until(page, f"desk.film.frame === {at + 1}")
    page.keyboard.press("g")
    until(page, "Object.keys(desk.data.ratings).length === 1")
    assert page.locator("#rate").input_value() == "0.5"


def test_after_a_tick_under_the_picture_keys_are_the_desks(open_desk):
    page = open_desk("contact")
    page.keyboard.press("l")
    drag_in_clip(page, (200, 100), (300, 200))
    frame = page.evaluate("desk.film.frame")
    page.locator("#for-thing").click()
    page.keyboard.press(" ")
    until(page, "desk.film.play.isOn")
    page.keyboard.press(" ")
    assert page.evaluate("(frame) => desk.film.marks.at(frame).for_thing", frame)


def test_by_the_keyboard_a_button_keeps_space_and_enter(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("Tab")
    page.locator("[data-do=skeleton]").focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Shift+Tab")
    before = page.locator("[data-do=skeleton]").get_attribute("aria-pressed")
    page.keyboard.press(" ")
    assert page.locator("[data-do=skeleton]").get_attribute("aria-pressed") != before
    assert not page.evaluate("desk.film.play.isOn")


def test_escape_leaves_the_field_then_the_tool(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("l")
    page.keyboard.press("n")
    page.keyboard.type("go")
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.id") == "film"
    assert page.evaluate("desk.film.tools.tool") == "line"
    page.keyboard.press("Escape")
    assert page.evaluate("desk.film.tools.tool") == "look"
    all_saved(page)
    assert Rating.objects.get().words == "go"


def test_words_after_the_one_thing_are_about_it(open_desk):
    """After a rating alone they are about the next one, where the eye is."""
    page = open_desk("foot_down")
    page.keyboard.press("o")
    page.keyboard.press("t")
    page.keyboard.press("n")
    page.keyboard.type("wait for it")
    page.keyboard.press("Escape")
    all_saved(page)
    assert [(one.rate, one.words) for one in Rating.objects.all()] == [("work_on", "wait for it")]


def test_what_was_good_is_good_again_once_another_is_the_one_thing(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("g")
    page.keyboard.press("t")
    all_saved(page)
    assert [one.rate for one in Rating.objects.all()] == ["work_on"]
    first = Rating.objects.get().checkpoint
    page.keyboard.press("ArrowDown")
    page.keyboard.press("t")
    all_saved(page)
    rates = dict(Rating.objects.values_list("checkpoint", "rate"))
    assert rates.pop(first) == "good"
    assert list(rates.values()) == ["work_on"]
    page.keyboard.press("Control+z")
    all_saved(page)
    assert dict(Rating.objects.values_list("checkpoint", "rate")) == {first: "work_on"}


def test_escape_keeps_words_on_the_picture_and_undo_takes_them_away(open_desk):
    page = open_desk("contact")
    page.keyboard.press("b")
    drag_in_clip(page, (200, 100), (200, 100))
    page.keyboard.type("closed")
    page.keyboard.press("Escape")
    all_saved(page)
    assert [shape["text"] for shape in MarkUp.objects.get().shapes] == ["closed"]
    page.keyboard.press("Control+z")
    all_saved(page)
    assert not MarkUp.objects.exists()


def test_ctrl_enter_goes_on_out_of_a_field_and_keeps_its_words(open_desk):
    page = open_desk("load")
    page.keyboard.press("n")
    page.keyboard.type("quiet hands")
    page.keyboard.press("Control+Enter")
    until(page, "desk.walk.stop === 'foot_down'")
    page.keyboard.press("g")
    all_saved(page)
    assert set(Rating.objects.values_list("words", flat=True)) == {"quiet hands", ""}


def test_after_a_rating_t_and_i_mean_the_checkpoint_just_rated(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("o")
    here = page.locator(".stop-card:not([hidden]) .point.here").get_attribute("data-checkpoint")
    assert here == "down_rear_knee"
    page.keyboard.press("t")
    all_saved(page)
    assert Review.objects.get().thing_checkpoint == "down_front_knee"
    page.keyboard.press("g")
    page.keyboard.press("i")
    all_saved(page)
    assert Review.objects.get().good == [page.evaluate("desk.data.book.down_rear_knee.good_words")]
    page.keyboard.press("ArrowDown")  # another one is chosen
    chosen = page.locator(".stop-card:not([hidden]) .point.here").get_attribute("data-checkpoint")
    page.keyboard.press("t")
    all_saved(page)
    assert Review.objects.get().thing_checkpoint == chosen


def test_the_card_just_rated_shows_what_the_keys_mean(open_desk, shot):
    page = open_desk("foot_down")
    page.keyboard.press("g")
    said, here = (page.locator(f".stop-card:not([hidden]) .point.{name}") for name in ("just", "here"))
    assert said.locator("[data-do=thing] kbd").is_visible()
    assert said.locator("[data-do=say] kbd").is_visible()
    assert said.locator(".definition").is_hidden()
    assert here.locator("[data-do=thing]").is_visible()
    assert here.locator("[data-do=thing] kbd").is_hidden()
    shot(page, "desk-said")
    page.keyboard.press("Enter")
    assert page.locator(".stop-card:not([hidden]) .point.just").count() == 0


def test_x_changes_the_next_stroke_never_the_last(open_desk):
    page = open_desk("contact")
    page.keyboard.press("l")
    drag_in_clip(page, (200, 100), (300, 200))
    page.keyboard.press("x")
    drag_in_clip(page, (320, 100), (400, 200))
    page.keyboard.press("Escape")
    drag_in_clip(page, (360, 150), (360, 150))  # chosen to be changed
    page.keyboard.press("x")
    all_saved(page)
    assert [shape["tone"] for shape in MarkUp.objects.get().shapes] == ["seen", "wanted"]
    page.locator("[data-tone=coach]").click()
    all_saved(page)
    assert [shape["tone"] for shape in MarkUp.objects.get().shapes] == ["seen", "coach"]


@pytest.fixture
def queue_of(desk_of):
    """Three in the queue: one that another coach holds, then the coach's own, then a free one."""
    coach, review = desk_of
    camp, held = review.submission.camp, review.clip.measurement
    other = people.make_user("tibor@example.org", "Tibor Quist", is_coach=True)
    made = []
    for name, day, state, reviewer in (("Nell", 1, State.IN_REVIEW, other), ("Odo", 9, State.READY, None)):
        guardian = people.make_user(f"{name.lower()}@example.org", f"{name} Vane")
        player = people.make_player(camp, guardian, first_name=name, last_name="Vane")
        submission = people.make_submission(player, camp, state, reviewer=reviewer)
        clip = people.make_clip(submission)
        fields = {"stage": held.stage, "products": held.products, "tracks": held.tracks, "result": held.result}
        type(held).objects.create(clip=clip, **fields)
        Submission.objects.filter(pk=submission.pk).update(promised_by=f"2026-01-0{day}")
        made.append(submission)
    Submission.objects.filter(pk=review.submission_id).update(promised_by="2026-01-05")
    return coach, review, made[1]


def test_enter_opens_the_first_clip_of_the_queue_that_is_ours(open_page, sign_in, queue_of):
    coach, review, free = queue_of
    page = open_page(**DESKTOP)
    sign_in(page, coach)
    page.goto("/queue/")
    page.locator("[data-opens] kbd").wait_for()
    assert page.locator("[data-opens] kbd").count() == 1
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/{review.submission_id}/desk/")
    Submission.objects.filter(pk=review.submission_id).update(state=State.PUBLISHED, reviewer=None)
    page.goto("/queue/")
    page.locator("[data-opens] kbd").wait_for()
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/{free.pk}/desk/")
    free.refresh_from_db()
    assert (free.state, free.reviewer) == (State.IN_REVIEW, coach)


def test_enter_stays_with_what_has_the_focus_in_the_queue(open_page, sign_in, queue_of):
    coach, _review, _free = queue_of
    page = open_page(**DESKTOP)
    sign_in(page, coach)
    page.goto("/queue/")
    page.locator(".filter a", has_text="published").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/queue/?list=published*")


def test_after_publishing_one_key_opens_the_next(open_desk, queue_of):
    _coach, _review, free = queue_of
    Review.objects.update(good=["You finish on balance."], thing_title="Closed foot", thing_words="Land closed.")
    page = open_desk("preview")
    until(page, "!document.querySelector('#publish-open').disabled && document.querySelector('#preview article')")
    page.locator("#publish-open").click()
    page.locator("#publish-form").get_by_role("button", name="Publish").click()
    page.wait_for_url("**/evaluations/**")
    page.locator(".next-waiting kbd").wait_for()
    assert "Odo Vane" in page.locator(".next-waiting").text_content()
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/{free.pk}/desk/")
    ready(page)


def test_an_instant_is_put_on_the_frame_that_was_asked_for_also_before_its_picture_has_come(open_desk):
    page = open_desk("foot_down")
    found = frame_of("foot_down")
    pictures = re.compile(r"/(review\.mp4|stills-.*\.pack)$")
    page.route(pictures, lambda _route: None)  # nothing is answered
    page.keyboard.press("Shift+ArrowLeft")
    page.keyboard.press("Shift+ArrowLeft")
    page.keyboard.press("Shift+ArrowLeft")  # to where no picture has come yet
    page.keyboard.press("h")
    assert page.evaluate("desk.film.frame") > found - 30
    settled(page)
    page.unroute(pictures)
    assert frame_of("foot_down") == found - 30
    until(page, f"desk.film.frame === {found - 30}")
