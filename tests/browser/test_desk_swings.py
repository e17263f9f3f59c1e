"""Swings taken out, put back and added on the desk, in a real browser."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from portal.desk.models import Rating, Review
from tests.analysis.read.motion import Film, Swing, film_swing
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.desk_film import coach_with_film, until, write_read_film
from tests.browser.desk_pages import SMALL, go, ready, settled, standing
from tests.browser.width import fits

pytest_plugins = ["tests.browser.desk_pages"]

SIZES = {"desktop": DESKTOP, "phone": {**PHONE, "viewport": {"width": 390, "height": 844}}}


@pytest.fixture(scope="session")
def film():
    """Two swings; a new draft of it looks at the second."""
    return write_read_film(film_swing(Film(**SMALL, swings=(Swing(), Swing()))))


@pytest.fixture
def second_swing(desk_of):
    _coach, review = desk_of
    Review.objects.filter(pk=review.pk).update(swing=1)


def indices() -> list[int]:
    return [swing["index"] for swing in standing().result["swings"]]


def looks_at(page, index: int) -> None:
    """The desk was made anew around this swing."""
    until(
        page,
        f"document.body.dataset.ready && window.desk?.data.swing_index === {index} && desk.film.swing?.index === {index}"
        " && desk.film.frame >= 0",
    )


def take_out(page) -> None:
    page.get_by_role("button", name="This is not a swing").click()
    page.get_by_role("button", name="Take it out").click()


def test_a_swing_is_taken_out_only_after_a_question(open_desk, second_swing):
    page = open_desk("contact")
    page.keyboard.press("d")
    assert "you can put the swing back" in page.locator("#not-a-swing").text_content()
    page.get_by_role("button", name="Keep it").click()
    assert page.locator("#not-a-swing").is_hidden()
    assert standing().corrections == {}


def test_taking_out_the_other_swing_leaves_the_chosen_one_with_its_ratings(open_desk, second_swing):
    page = open_desk("foot_down")
    page.keyboard.press("g")
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    contact = page.evaluate("desk.film.swing.instants.contact.frame")
    page.locator("#swing-choice").select_option(label="swing 1 of 2")
    looks_at(page, 0)
    take_out(page)
    looks_at(page, 1)
    assert indices() == [1]
    assert standing().corrections["remove_swings"] == [0]
    assert page.evaluate("desk.film.swing.instants.contact.frame") == contact
    assert list(Rating.objects.values_list("checkpoint", "rate")) == [("down_front_knee", "good")]
    assert page.evaluate("desk.walk.stop") == "foot_down"


def test_the_chosen_swing_is_taken_out_and_put_back(open_desk, second_swing):
    page = open_desk("contact")
    page.keyboard.press("g")
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    before = standing().result["swings"][1]
    take_out(page)
    looks_at(page, 0)
    assert Review.objects.get().swing == 0
    assert page.locator("#swings-out").text_content().startswith("Swing 2 was taken out.")
    page.get_by_role("button", name="Put it back").click()
    looks_at(page, 1)
    assert (Review.objects.get().swing, indices()) == (1, [0, 1])
    assert standing().result["swings"][1]["readings"] == before["readings"]
    assert Rating.objects.get().rate == "good"
    assert page.locator("#swings-out").is_hidden()


def said(page) -> str:
    return page.locator("#said").text_content()


def all_saved(page) -> None:
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    settled(page)


def test_taking_a_swing_out_is_undone_by_the_desk_that_stands_anew_and_so_is_what_came_before(open_desk, second_swing):
    page = open_desk("foot_down")
    page.keyboard.press("g")
    name = page.evaluate("desk.data.book.down_front_knee.name")
    all_saved(page)
    take_out(page)
    looks_at(page, 0)
    page.keyboard.press("z")
    looks_at(page, 1)
    assert said(page) == "Undid: swing 2 taken out"
    assert (indices(), Review.objects.get().swing) == ([0, 1], 1)
    page.keyboard.press("z")
    assert said(page) == f"Undid: {name}: good"
    all_saved(page)
    assert not Rating.objects.exists()
    page.keyboard.press("Shift+Z")
    all_saved(page)
    assert Rating.objects.get().rate == "good"
    page.keyboard.press("Shift+Z")
    looks_at(page, 0)
    assert said(page) == "Redid: swing 2 taken out"
    assert indices() == [0]


def test_putting_a_swing_back_and_adding_one_are_undone(open_desk, second_swing):
    page = open_desk("contact")
    take_out(page)
    looks_at(page, 0)
    page.get_by_role("button", name="Put it back").click()
    looks_at(page, 1)
    page.keyboard.press("z")
    looks_at(page, 0)
    assert said(page) == "Undid: swing 2 put back"
    assert indices() == [0]
    page.keyboard.press("v")
    for frame in (140, 170):
        go(page, frame)
        page.keyboard.press("v")
    looks_at(page, 2)
    page.keyboard.press("z")
    looks_at(page, 0)
    assert said(page) == "Undid: swing 3 added"
    assert indices() == [0]
    page.keyboard.press("Shift+Z")
    looks_at(page, 2)
    page.keyboard.press("z")
    looks_at(page, 0)
    page.keyboard.press("z")
    looks_at(page, 1)
    assert said(page) == "Undid: swing 2 taken out"
    assert indices() == [0, 1]


def test_a_swing_is_added_from_its_first_to_its_last_frame_by_keyboard(open_desk):
    page = open_desk("contact")
    page.get_by_role("button", name="This is not a swing").click()
    page.get_by_role("button", name="Take it out").click()
    looks_at(page, 1)
    first, last = 25, 130  # around the first swing, that of tests/analysis/read/motion.py's script
    page.keyboard.press("v")
    assert "Step to where the swing begins" in page.locator("#swing-words").text_content()
    go(page, first)
    page.keyboard.press("v")
    assert f"begins at frame {first}" in page.locator("#swing-words").text_content()
    go(page, first + 2)
    page.keyboard.press("v")
    assert "at least four frames" in page.locator("#desk-notice").text_content()
    go(page, last)
    page.keyboard.press("v")
    looks_at(page, 2)
    assert indices() == [1, 2]
    assert standing().corrections["add_swings"] == [{"start_frame": first, "end_frame": last}]
    assert Review.objects.get().swing == 2
    contact = standing().result["swings"][1]["instants"]["contact"]
    assert contact["time_s"] == pytest.approx(Swing().contact, abs=2.5 / 60)
    assert page.locator("#swing-choice").input_value().endswith(":2")


def test_marking_is_given_up(open_desk):
    page = open_desk("contact")
    page.get_by_role("button", name="Add a swing").click()
    page.get_by_role("button", name="The swing begins here").click()
    page.get_by_role("button", name="Never mind").click()
    assert page.get_by_role("button", name="Add a swing").evaluate("button => button === document.activeElement")
    assert standing().corrections == {}


def test_an_instant_put_by_hand_stays_with_its_swing_when_the_other_goes(open_desk, second_swing):
    page = open_desk("load")
    at = page.evaluate("desk.film.frame")
    go(page, at + 2)
    page.keyboard.press("h")
    settled(page)
    page.locator("#swing-choice").select_option(label="swing 1 of 2")
    looks_at(page, 0)
    take_out(page)
    looks_at(page, 1)
    assert standing().corrections["instants"] == {"1": {"load": at + 2}}
    assert page.evaluate("[desk.film.swing.instants.load.frame, desk.film.swing.instants.load.source]") == [
        at + 2,
        "coach",
    ]


# ------------------------------------------------------------------ no swing at all


@pytest.fixture(scope="session")
def still_film():
    """A hitter who stands in the box and never swings."""
    tracks, noise = film_swing(Film(**SMALL)), np.random.default_rng(2)
    still = tracks.keypoints_px[:1] + noise.normal(0.0, 0.5, tracks.keypoints_px.shape)
    world = tracks.world_m[:1] + noise.normal(0.0, 0.005, tracks.world_m.shape)
    tracks = replace(tracks, keypoints_px=still.astype(np.float32), world_m=world.astype(np.float32))
    return write_read_film(tracks)


@pytest.fixture
def open_still(site, still_film, open_page, sign_in):
    coach, review = coach_with_film(*still_film)

    def open_one(stop="set_up", **options):
        page = open_page(**{**DESKTOP, **options})
        sign_in(page, coach)
        page.goto(f"/submissions/{review.submission_id}/desk/{stop}/")
        ready(page)
        return page

    return open_one


@pytest.mark.parametrize(("size", "scheme"), [("desktop", "dark"), ("phone", "light")])
def test_a_clip_without_a_swing_opens_and_offers_to_mark_one(open_still, axe, shot, size, scheme):
    page = open_still(**SIZES[size], color_scheme=scheme)
    assert "No swing was found in this film" in page.locator("#swing-words").text_content()
    assert page.get_by_role("button", name="This is not a swing").is_hidden()
    assert page.get_by_role("button", name="The swing begins here").is_visible()
    assert "no swing yet" in page.locator("[data-card=set_up]").text_content()
    axe(page)
    fits(page)
    shot(page, f"desk-no-swing-{size}-{scheme}")


def test_without_a_swing_marking_one_reads_it(open_still):
    page = open_still()
    go(page, 30)
    page.keyboard.press("v")
    go(page, 120)
    page.keyboard.press("v")
    until(page, "window.desk?.data.swing && document.body.dataset.ready")
    assert page.evaluate("desk.film.swing.start_frame") <= 30
    assert Review.objects.get().swing == standing().result["swings"][0]["index"] == 0
    take_out(page)
    until(page, "window.desk && !desk.data.swing && document.body.dataset.ready")
    assert "Swing 1 was taken out." in page.locator("#swings-out").text_content()
    page.get_by_role("button", name="Put it back").click()
    until(page, "window.desk?.data.swing && document.body.dataset.ready")


@pytest.mark.parametrize(("size", "scheme"), [("desktop", "dark"), ("phone", "light")])
def test_the_line_of_swings_is_accessible_and_fits(open_desk, second_swing, axe, shot, size, scheme):
    page = open_desk("contact", **SIZES[size], color_scheme=scheme)
    page.get_by_role("button", name="This is not a swing").click()
    axe(page)
    shot(page, f"desk-not-a-swing-{size}-{scheme}")
    page.get_by_role("button", name="Take it out").click()
    looks_at(page, 0)
    page.get_by_role("button", name="Add a swing").click()
    page.get_by_role("button", name="The swing begins here").click()
    axe(page)
    fits(page)
    shot(page, f"desk-add-a-swing-{size}-{scheme}")
