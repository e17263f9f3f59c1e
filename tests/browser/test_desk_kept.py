"""Nothing typed, drawn or clicked is lost: reload, two windows, no line, a dead server, an ended session; in a real Chromium."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.sessions.models import Session

from portal.desk.models import MarkUp, Rating, Review
from tests.browser.conftest import DESKTOP
from tests.browser.desk_film import until
from tests.browser.desk_pages import crash, frame_of, go, ready, settled, standing
from tests.browser.site import Site
from tests.servers import wait_until

pytest_plugins = ["tests.browser.desk_pages"]
LEFT_KNEE = 25
OFFLINE = "ERR_INTERNET_DISCONNECTED|409"  # an answer that was lost on the way makes the next try come too late
KEPT = "Object.keys(localStorage).filter((key) => key.startsWith('desk:')).map((key) => localStorage[key]).join()"


def all_saved(page: Any) -> None:
    until(page, "desk.saving.isClean && (!desk.correcting || desk.correcting.isClean)")
    until(page, "desk.saving.state === 'saved' && (!desk.correcting || desk.correcting.state === 'saved')")


def move_by_hand(page: Any) -> None:
    """A point, the bat, the plate and an instant, as the tools tell of them."""
    page.evaluate("desk.film.tools.points.choose('25')")
    for tell in ("nudge([20, 0])", "putDown()", "choose('barrel')", "nudge([0, -9])", "putDown()"):
        page.evaluate(f"desk.film.tools.points.{tell}")
    page.evaluate("for (let n = 0; n < 5; n++) desk.film.tools.plate.add(n)")
    page.keyboard.press("h")


def is_moved(frame: int) -> bool:
    held = standing().corrections
    return (
        [(one["frame"], one["keypoint"]) for one in held.get("keypoints", [])] == [(frame, LEFT_KNEE)]
        and [one["frame"] for one in held.get("bat", [])] == [frame]
        and len(held.get("plate") or []) == 5
        and held.get("instants") == {"0": {"foot_down": frame}}
    )


def write_everywhere(page: Any) -> None:
    """Words in every kind of field, each left in the middle of a word."""
    page.keyboard.press("n")
    page.keyboard.type("the knee goes forw")
    page.locator("#write-up-toggle").click()
    page.locator("#greeting").click()
    page.keyboard.type("Hi Ida, what a swi")
    page.locator("#thing-words").click()
    page.keyboard.type("Keep the hea")
    page.locator("#good-add").click()
    page.keyboard.type("You finish in bala")


def is_written() -> bool:
    review = Review.objects.get()
    said = (review.greeting, review.thing_words, review.good, *Rating.objects.values_list("words", flat=True))
    return said == ("Hi Ida, what a swi", "Keep the hea", ["You finish in bala"], "the knee goes forw")


def test_a_reload_in_the_middle_of_a_word_loses_no_letter(open_desk):
    page = open_desk("foot_down")
    write_everywhere(page)
    page.reload()
    ready(page)
    assert page.locator("#greeting").input_value() == "Hi Ida, what a swi"
    assert page.locator("#good textarea").input_value() == "You finish in bala"
    all_saved(page)
    assert is_written()


@pytest.mark.parametrize("pause", [0, 450])  # before and after it was sent
def test_a_reload_after_any_pause_keeps_the_word(open_desk, pause):
    page = open_desk("foot_down")
    page.locator("#write-up-toggle").click()
    page.locator("#closing").click()
    page.keyboard.type("See you on Frid")
    page.wait_for_timeout(pause)
    page.reload()
    ready(page)
    assert page.locator("#closing").input_value() == "See you on Frid"
    all_saved(page)
    assert Review.objects.get().closing == "See you on Frid"


def test_words_reach_the_site_when_the_page_goes_out_of_sight(open_desk):
    page = open_desk("foot_down")
    page.locator("#write-up-toggle").click()
    page.locator("#closing").click()
    page.keyboard.type("See you")
    page.goto("about:blank")  # another page in this window: nobody comes back to send it
    assert wait_until(lambda: Review.objects.get().closing == "See you", 60)


def test_words_and_corrections_of_minutes_without_a_line_are_put_in(open_desk):
    page = open_desk("foot_down")
    frame = frame_of("foot_down") + 1
    go(page, frame)
    with page.watch.allowing(OFFLINE):
        page.context.set_offline(True)
        move_by_hand(page)
        write_everywhere(page)
        until(page, "desk.saving.state === 'trying' && desk.correcting.state === 'trying'")
        assert "Not saved yet" in page.locator("#saved").text_content()
        until(page, "desk.saving.failures >= 3 && desk.correcting.failures >= 3")
        assert standing().corrections == {}
        page.context.set_offline(False)
        all_saved(page)
    assert is_written()
    assert is_moved(frame)
    assert page.evaluate(KEPT) == ""
    assert page.locator("#saved").text_content().startswith("Saved")


def test_ten_minutes_without_a_line_lose_nothing_and_are_told(open_desk):
    page = open_desk("foot_down")
    frame = frame_of("foot_down") + 1
    go(page, frame)
    page.clock.install()
    with page.watch.allowing(OFFLINE):
        page.context.set_offline(True)
        move_by_hand(page)
        write_everywhere(page)
        for _minutes in range(5):
            page.clock.fast_forward(120_000)
            until(page, "desk.saving.state === 'trying' && desk.correcting.state === 'trying'")
            assert "Not saved yet" in page.locator("#saved").text_content()
        assert Review.objects.get().greeting == ""
        assert standing().corrections == {}
        page.context.set_offline(False)
        page.clock.fast_forward(20_000)  # the next try
        all_saved(page)
        assert page.locator("#saved").text_content().startswith("Saved")
    assert is_written()
    assert is_moved(frame)
    assert page.evaluate(KEPT) == ""


def test_what_was_moved_without_a_line_comes_with_the_next_window(open_desk):
    page = open_desk("foot_down")
    frame = frame_of("foot_down") + 1
    go(page, frame)
    with page.watch.allowing(OFFLINE):
        page.context.set_offline(True)
        move_by_hand(page)
        until(page, "desk.correcting.state === 'trying'")
        page.on("dialog", lambda dialog: dialog.accept())  # leaving warns
        page.context.set_offline(False)
        page.reload()
        ready(page)
        assert "4 changes of yours were not saved" in page.locator("#desk-notice").text_content()
        all_saved(page)
    assert is_moved(frame)


def test_two_windows_without_a_line_keep_their_own_and_both_are_put_in(open_desk, desk_of):
    _coach, review = desk_of
    page = open_desk("foot_down")
    other = page.context.new_page()
    other.goto(f"/submissions/{review.submission_id}/desk/foot_down/")
    ready(other)
    with page.watch.allowing(OFFLINE):
        page.context.set_offline(True)
        page.locator("#write-up-toggle").click()
        page.locator("#greeting").fill("Hi from the first window")
        other.locator("#write-up-toggle").click()
        other.locator("#greeting").fill("Hi from the second")
        other.locator("#closing").fill("See you")
        other.evaluate("desk.correcting.make(desk.moves.instantAt(0, 'load', 3))")
        for words in ("Hi from the first window", "Hi from the second", "See you", "instantAt"):
            until(page, f"{KEPT}.includes('{words}')")  # a window hears of the other's store a moment later
        crash(page)
        assert "Hi from the second" in other.evaluate(KEPT)
        other.context.set_offline(False)
        all_saved(other)
        third = other.context.new_page()
        third.goto(f"/submissions/{review.submission_id}/desk/foot_down/")
        ready(third)
        all_saved(third)
    said = Review.objects.get()
    assert said.greeting == "Hi from the second\n\nHi from the first window"
    assert said.closing == "See you"
    assert standing().corrections["instants"] == {"0": {"load": 3}}


def test_corrections_of_two_windows_are_joined(open_desk, desk_of):
    _coach, review = desk_of
    page = open_desk("foot_down")
    other = page.context.new_page()
    other.goto(f"/submissions/{review.submission_id}/desk/foot_down/")
    ready(other)
    before = frame_of("load")
    with page.watch.allowing("409"):
        other.evaluate("desk.correcting.make(desk.moves.keypointAt(30, 25, [100, 100]))")
        settled(other)
        page.evaluate(f"desk.correcting.make(desk.moves.instantAt(0, 'load', {before + 1}))")
        settled(page)
    held = standing().corrections
    assert held["instants"] == {"0": {"load": before + 1}}
    assert [one["frame"] for one in held["keypoints"]] == [30]


def test_an_ended_session_is_told_and_all_goes_on_after_signing_in(open_desk, sign_in, desk_of):
    coach, _review = desk_of
    page = open_desk("foot_down")
    frame = frame_of("foot_down") + 1
    go(page, frame)
    Session.objects.all().delete()
    with page.watch.allowing("401|403|404"):
        page.context.clear_cookies(name="sessionid")
        move_by_hand(page)
        write_everywhere(page)
        until(page, "desk.saving.state === 'signed_out' && desk.correcting.isDown")
        until(page, "document.getElementById('saved').textContent.includes('you were signed out. Sign in again')")
        sign_in(page, coach)
        all_saved(page)
        page.wait_for_timeout(1000)  # on a busy machine the refusals are told in the console later than they came
    assert is_written()
    assert is_moved(frame)


def test_a_killed_server_is_told_and_all_goes_on_with_the_next(open_page, sign_in, desk_of):
    coach, review = desk_of
    server = Site()
    page = open_page(**DESKTOP)
    sign_in(page, coach)
    with page.watch.allowing("third party|ERR_CONNECTION"):  # a site beside the one that the watch knows
        page.goto(f"{server.url}/submissions/{review.submission_id}/desk/foot_down/")
        ready(page)
        frame = frame_of("foot_down") + 1
        go(page, frame)
        server.kill()
        move_by_hand(page)
        write_everywhere(page)
        until(page, "desk.saving.state === 'trying' && desk.correcting.state === 'trying'")
        assert "Not saved yet" in page.locator("#saved").text_content()
        again = Site(int(server.url.rpartition(":")[2]))
        all_saved(page)
        page.goto("about:blank")
        again.stop()
    assert is_written()
    assert is_moved(frame)


def test_leaving_for_another_swing_without_a_line_says_so_and_stays(open_desk):
    page = open_desk("foot_down")
    with page.watch.allowing(OFFLINE):
        page.context.set_offline(True)
        page.evaluate("desk.correcting.make(desk.moves.instantAt(0, 'load', 3))")
        page.evaluate("desk.leaving.toSwing(0)")
        page.get_by_text("your last change is not saved yet").wait_for()
        page.context.set_offline(False)
        all_saved(page)


def test_words_on_the_picture_are_kept_while_they_are_written(open_desk):
    page = open_desk("contact")
    page.keyboard.press("b")
    box = page.locator("#film-canvas").bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.keyboard.type("stay clo")
    page.reload()
    ready(page)
    all_saved(page)
    assert [shape["text"] for shape in MarkUp.objects.get().shapes] == ["stay clo"]
