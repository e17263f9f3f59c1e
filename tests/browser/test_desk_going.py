"""A page that goes in the middle of a word, while a save is under way on a slow line: what was typed is on the site all the
same, and nobody is told of their own change as of somebody else's. Two windows, and two coaches, are told; in a real Chromium.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from threading import Event
from typing import Any

import pytest

from portal.desk import claims, drafts
from portal.desk.models import MarkUp, Rating, Review
from portal.measuring import corrections
from tests.browser.desk_film import until
from tests.browser.desk_pages import frame_of, go, ready, settled, standing
from tests.portal.conftest import make_user
from tests.servers import wait_until

pytest_plugins = ["tests.browser.desk_pages"]
ELSEWHERE = "changed in another window"


class SlowSite:
    """Changes that `is_slow` names wait at the site, before they are made, until `go_on()`."""

    def __init__(self) -> None:
        self.arrived: list[str] = []
        self.stale: list[str] = []  # windows that were told so
        self.is_slow: Callable[[drafts.Sender], bool] = lambda sender: False
        self._gate = Event()
        self._made = drafts.change

    def change(self, review: Any, user: Any, sender: drafts.Sender, token: str, make: Any) -> int:
        self.arrived.append(token)
        if self.is_slow(sender):
            assert self._gate.wait(60), "nobody let it go on"
        try:
            return self._made(review, user, sender, token, make)
        except drafts.Stale:
            self.stale.append(sender.window)
            raise

    def only_the_first(self) -> None:
        """As when one request is long on its way and the next ones overtake it."""
        self._first = len(self.arrived) + 1
        self.is_slow = lambda sender: len(self.arrived) == self._first

    def all_of(self, window: str) -> None:
        self.is_slow = lambda sender: sender.window == window

    def go_on(self) -> None:
        self._gate.set()


@pytest.fixture
def slow_site(monkeypatch: pytest.MonkeyPatch) -> Iterator[SlowSite]:
    slow = SlowSite()
    monkeypatch.setattr(drafts, "change", slow.change)
    yield slow
    slow.go_on()


def type_words(page: Any) -> None:
    """The first letter is under way; the others wait."""
    page.locator("#write-up-toggle").click()
    page.locator("#closing").click()
    page.keyboard.type("See you on Frid")
    page.locator("#greeting").click()
    page.keyboard.type("Hi Ida, what a swi")
    page.locator("#thing-words").click()
    page.keyboard.type("Keep the hea")
    until(page, "desk.saving.sending !== null && desk.saving.pending.count > 2")


def own(page: Any) -> str:
    return str(page.evaluate("desk.saving.own.name"))


def is_there() -> bool:
    said = Review.objects.get()
    words = (said.closing, said.greeting, said.thing_words)
    return words == ("See you on Frid", "Hi Ida, what a swi", "Keep the hea")


def go_on_writing(page: Any) -> None:
    page.locator("#write-up-toggle").click()
    page.locator("#greeting").press("End")
    page.keyboard.type("ng!")


def is_saved(page: Any) -> None:
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    assert page.locator("#desk-notice").count() == 0 or ELSEWHERE not in page.locator("#desk-notice").text_content()


def test_a_reload_while_the_first_letter_is_late_loses_none_and_names_nobody_else(open_desk, slow_site):
    page = open_desk("foot_down")
    slow_site.only_the_first()
    type_words(page)
    page.reload()
    ready(page)
    assert wait_until(is_there, 30)  # before anybody did anything on the new page
    go_on_writing(page)
    is_saved(page)
    slow_site.go_on()
    is_saved(page)
    assert wait_until(lambda: len(slow_site.arrived) >= 4, 30)
    said = Review.objects.get()
    assert (said.closing, said.greeting, said.thing_words) == (
        "See you on Frid",
        "Hi Ida, what a swing!",
        "Keep the hea",
    )
    assert own(page) not in slow_site.stale  # a window that is gone may be: what it said late is said better by now


def test_a_reload_before_anything_reached_the_site_loses_nothing_and_names_nobody_else(open_desk, slow_site):
    """All that the window sent comes after the next one has gone on writing."""
    page = open_desk("foot_down")
    slow_site.all_of(own(page))
    type_words(page)
    page.reload()
    ready(page)
    go_on_writing(page)
    is_saved(page)
    assert Review.objects.get().greeting == "Hi Ida, what a swing!"
    slow_site.go_on()
    page.wait_for_timeout(500)  # what is late would undo it now
    page.locator("#greeting").press("End")
    page.keyboard.type(" Go!")
    is_saved(page)
    said = Review.objects.get()
    assert (said.closing, said.greeting, said.thing_words) == (
        "See you on Frid",
        "Hi Ida, what a swing! Go!",
        "Keep the hea",
    )
    assert own(page) not in slow_site.stale  # a window that is gone may be: what it said late is said better by now


def test_a_reload_while_words_come_late_goes_on_over_them(open_desk, slow_site):
    """The late words come between the new page and its first change, and the browser kept nothing of them."""
    page = open_desk("foot_down")
    slow_site.all_of(own(page))
    type_words(page)
    page.add_init_script("for (const key of Object.keys(localStorage)) localStorage.removeItem(key)")
    page.reload()
    ready(page)
    slow_site.go_on()
    assert wait_until(is_there, 30)
    page.evaluate(
        "desk.saving.put('rating:down_front_knee', 'rating', {checkpoint: 'down_front_knee', rate: 'good', words: ''})"
    )
    is_saved(page)
    assert Rating.objects.get().rate == "good"
    assert is_there()
    assert own(page) not in slow_site.stale  # a window that is gone may be: what it said late is said better by now


@pytest.mark.parametrize("way", ["closed", "elsewhere"])
def test_another_browser_shows_what_was_typed_when_the_tab_went(open_desk, slow_site, way):
    page = open_desk("foot_down")
    slow_site.only_the_first()
    type_words(page)
    if way == "closed":
        page.close(run_before_unload=True)
    else:
        page.goto("about:blank")
    assert wait_until(is_there, 30)
    other = open_desk("foot_down")
    assert other.locator("#greeting").input_value() == "Hi Ida, what a swi"
    assert other.locator("#closing").input_value() == "See you on Frid"
    slow_site.go_on()


def test_a_drawing_of_which_the_first_part_is_late_is_drawn_once(open_desk, slow_site):
    page = open_desk("contact")
    slow_site.only_the_first()
    page.keyboard.press("b")
    box = page.locator("#film-canvas").bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.keyboard.type("stay clo")
    until(page, "desk.saving.pending.count === 2")
    page.reload()
    ready(page)
    slow_site.go_on()
    is_saved(page)
    assert [shape["text"] for shape in MarkUp.objects.get().shapes] == ["stay clo"]


def test_more_than_a_browser_sends_for_a_page_that_goes_is_kept_for_the_next_window(open_desk, slow_site):
    page = open_desk("foot_down")
    slow_site.only_the_first()
    # Three drawings of 25 kB each: two of them go with the page, the third cannot.
    page.evaluate(
        """() => {
          const points = Array.from({length: 380}, (_, n) => [100.5 + n, 100.5]);
          const strokes = Array(5).fill({kind: 'free', tone: 'coach', text: '', points});
          for (const frame of [1, 2, 3]) desk.film.marks.draw(frame, strokes);
        }"""
    )
    until(page, "desk.saving.pending.count === 3")
    page.reload()
    ready(page)
    slow_site.go_on()
    is_saved(page)
    assert sorted(MarkUp.objects.values_list("frame", flat=True)) == [1, 2, 3]


@pytest.mark.parametrize("is_copy", [False, True])
def test_two_windows_of_one_coach_are_told_of_each_other(open_desk, is_copy):
    """Also where one was opened from the other, which copies what the window keeps for itself."""
    page = open_desk("foot_down")
    with page.context.expect_page() as opened:
        page.evaluate(f"void window.open(location.href, '_blank', {'' if is_copy else 'noopener'!r})")
    other = opened.value
    ready(other)
    other.locator("#write-up-toggle").click()
    other.locator("#closing").fill("from the other")
    is_saved(other)
    with page.watch.allowing("409"):
        page.locator("#write-up-toggle").click()
        page.locator("#closing").fill("from the first")
        page.locator("#desk-notice").get_by_text(ELSEWHERE).wait_for()
        assert Review.objects.get().closing == "from the other"
        with page.expect_navigation():
            page.get_by_role("button", name="Load the newest").click()
        ready(page)
        is_saved(page)
    assert Review.objects.get().closing == "from the other\n\nfrom the first"
    other.locator("#closing").fill("once more")
    other.locator("#desk-notice").get_by_text(ELSEWHERE).wait_for()


def test_a_coach_from_whom_the_review_was_taken_is_told_by_whom(open_desk, desk_of):
    coach, review = desk_of
    page = open_desk("foot_down")
    other = make_user("tibor@example.org", "Tibor Quist", is_coach=True)
    claims.take_over(review.submission, other, coach.pk)
    with page.watch.allowing("409"):
        page.locator("#write-up-toggle").click()
        page.locator("#closing").fill("too late")
        page.locator("#desk-notice").get_by_text("Tibor Quist is reviewing this now").wait_for()
        assert page.locator("#saved").text_content() == "Tibor Quist is reviewing this now."
    assert Review.objects.get().closing == ""


@pytest.fixture
def slow_reading(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Event, Event]]:
    """The first corrections, one or `held`, wait at the site before they are read until the second event is set; the first says
    that all of them are there.
    """
    held = getattr(request, "param", 1)
    here, gate, arrived, made = Event(), Event(), [], corrections.apply

    def apply(*given: Any) -> Any:
        arrived.append(given)
        if len(arrived) <= held:
            if len(arrived) == held:
                here.set()
            assert gate.wait(60), "nobody let it go on"
        return made(*given)

    monkeypatch.setattr(corrections, "apply", apply)
    yield here, gate
    gate.set()


def test_a_correction_behind_one_that_is_read_is_on_the_site_when_the_tab_closes(open_desk, slow_reading):
    here, gate = slow_reading
    page = open_desk("foot_down")
    go(page, frame_of("foot_down"))
    page.evaluate(
        """() => {
          const { byHand, film, moves } = desk;
          byHand.onFrame("knee", film.frame, moves.keypointAt(film.frame, 25, [300, 200]));
          byHand.onFrame("ankle", film.frame, moves.keypointAt(film.frame, 27, [310, 260]));
        }"""
    )
    until(page, "desk.correcting.sending !== null && desk.correcting.waiting.length === 2")
    assert here.wait(30)  # at the site: one that the closing overtook would wait there in its place
    page.close(run_before_unload=True)
    moved = [25, 27]
    assert wait_until(lambda: [one["keypoint"] for one in standing().corrections.get("keypoints", [])] == moved, 30)
    gate.set()
    other = open_desk("foot_down")
    settled(other)
    assert other.locator("#desk-notice").count() == 0
    assert [one["keypoint"] for one in standing().corrections["keypoints"]] == moved


@pytest.mark.parametrize("slow_reading", [2], indirect=True)
def test_a_tab_that_seemed_to_go_before_sends_what_was_moved_since(open_desk, slow_reading):
    """Out of sight and back, with what went out then unanswered still; and then it closes."""
    here, gate = slow_reading
    page = open_desk("foot_down")
    go(page, frame_of("foot_down"))
    move = "(point) => desk.byHand.onFrame(`${point}`, desk.film.frame, desk.moves.keypointAt(desk.film.frame, point, [300, 200]))"
    page.evaluate(move, 25)
    until(page, "desk.correcting.sending !== null")
    page.evaluate(move, 27)
    page.evaluate("desk.leaving.flush()")
    assert here.wait(30)  # both are at the site
    page.evaluate(move, 31)
    page.close(run_before_unload=True)
    moved = [25, 27, 31]
    assert wait_until(lambda: [one["keypoint"] for one in standing().corrections.get("keypoints", [])] == moved, 60)
    gate.set()
    other = open_desk("foot_down")
    settled(other)
    assert other.locator("#desk-notice").count() == 0
    assert [one["keypoint"] for one in standing().corrections["keypoints"]] == moved
