"""Two swings side by side at the desk, in step at an instant."""

from __future__ import annotations

import copy
import re
from datetime import timedelta
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from portal.intake.models import Clip
from portal.intake.states import State
from portal.measuring import door
from portal.measuring.models import Measurement, Stage
from tests.analysis.read.motion import Film, film_swing
from tests.browser.desk_film import until, write_read_film
from tests.browser.desk_pages import SMALL
from tests.portal import conftest as people
from tests.servers import wait_until

PICTURES = re.compile(r"/(review\.mp4|stills-.*\.pack)$")
KNEE_INSIDE = "down_front_knee_inside"
KNEE_NAME = door.checkpoint(KNEE_INSIDE).name
pytest_plugins = ["tests.browser.desk_pages"]


@pytest.fixture
def earlier(desk_of, film):
    """The same film, sent six weeks ago."""
    _coach, review = desk_of
    clip = people.make_clip(people.make_submission(review.submission.player, review.submission.camp, State.PUBLISHED))
    measured_as(clip, film[0], review.clip.measurement)
    Clip.objects.filter(pk=clip.pk).update(created_at=clip.created_at - timedelta(days=42))
    return clip


@pytest.fixture
def another(desk_of, film):
    """The same film a second time in this submission, its front knee forty points of the foot spacing farther in."""
    _coach, review = desk_of
    clip = people.make_clip(
        review.submission, name="A swing off the tee behind the barn, the second of three, from the chest side.MOV"
    )
    measurement = measured_as(clip, film[0], review.clip.measurement)
    move(measurement, KNEE_INSIDE, 40.0)
    return clip


def measured_as(clip, folder, now):
    """The clip measured with these products, and read as another was."""
    for path in folder.iterdir():
        default_storage.save(f"{clip.folder}/{path.name}", ContentFile(path.read_bytes()))
    fields = {"read_method": now.read_method, "read_book": now.read_book, "read_bands": 0}
    return Measurement.objects.create(
        clip=clip, stage=Stage.DONE, products=clip.folder, tracks=f"{clip.folder}/tracks.npz",
        result=copy.deepcopy(now.result), **fields,
    )  # fmt: skip


def move(measurement, checkpoint, by):
    """The reading lies elsewhere, as surely as before."""
    for reading in measurement.result["swings"][0]["readings"]:
        if reading["checkpoint"] == checkpoint:
            reading.update(value=reading["value"] + by, interval=[end + by for end in reading["interval"]])
    measurement.save(update_fields=["result"])


def rows(page):
    """The checkpoints of the chosen instant by name, with both readings and what they say of each other."""
    lines = [row.locator("th, td").all_inner_texts() for row in page.locator("#compare-rows tr:visible").all()]
    plain = [
        [" ".join(words.split()) for words in line] for line in lines
    ]  # spaces that hold number and unit together as well
    return {name: rest for name, *rest in plain}


def frames(page):
    words = [page.locator(f"#frame-{side}").inner_text() for side in ("this", "other")]
    return [int(text.split()[1]) if text else -1 for text in words]


def opened(page):
    page.keyboard.press("Shift+Q")
    until(page, "document.querySelectorAll('#compare-rows tr').length > 10")
    until(page, "document.querySelector('#frame-other').textContent")


@pytest.mark.parametrize(("size", "theme"), [((1280, 800), "light"), ((768, 1024), "dark")], ids=["desk", "tablet"])
def test_two_swings_stand_in_step_at_an_instant(open_desk, film, earlier, axe, shot, size, theme):
    page = open_desk("foot_down", viewport={"width": size[0], "height": size[1]}, color_scheme=theme)
    opened(page)
    instants = film[1]["swings"][0]["instants"]
    down, contact = instants["foot_down"]["frame"], instants["contact"]["frame"]
    assert frames(page) == [down, down]
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert frames(page) == [down + 2, down + 2]
    page.keyboard.press("5")
    assert frames(page) == [contact, contact]
    shown = page.locator("#compare-rows tr:visible")
    assert shown.count() >= 1
    assert all("no change we can see" in row or "not comparable" in row for row in shown.all_inner_texts())
    page.keyboard.press("3")
    axe(page)
    shot(page, f"desk-compare-{size[0]}")
    page.keyboard.press("o")
    page.keyboard.press("m")
    assert page.locator("#compare-overlay").get_attribute("aria-pressed") == "true"
    assert "mirrored" in page.locator("#side-other").get_attribute("class")
    page.keyboard.press("Shift+L")
    assert page.locator("#compare-lighter").get_attribute("aria-pressed") == "true"
    shot(page, f"desk-compare-overlay-{size[0]}")
    page.keyboard.press("Escape")
    assert page.locator("#lighter").get_attribute("aria-pressed") == "true"  # one light for the desk and beside it
    assert not page.locator("#compare").is_visible()
    assert page.evaluate("desk.film.frame") == down  # the desk stands where it stood


def test_a_clip_sent_with_it_is_offered_first_by_its_name_and_what_changed_is_told(
    open_desk, earlier, another, axe, shot
):
    page = open_desk("foot_down")
    opened(page)
    offered = page.locator("#compare-with option").all_inner_texts()
    assert offered[0] == f"sent with it: {another.name}, from the chest side, swing 1"
    assert len(offered) == 2
    here, there, says = rows(page)[KNEE_NAME]
    assert says == "changed: −40% of foot spacing"
    values = [float(side.split()[0].replace("−", "-")) for side in (here, there)]
    assert values[1] - values[0] == pytest.approx(40, abs=1)
    others = [told[-1] for name, told in rows(page).items() if name != KNEE_NAME]
    assert others
    assert not any("changed" in said for said in others)
    assert frames(page)[1] >= 0
    axe(page)
    box = page.locator("#compare-with").bounding_box()
    assert box["x"] + box["width"] <= 1280, "a long name pushes the film beside it out of the page"
    sides = [page.locator(side).bounding_box()["width"] for side in ("#side-this", "#side-other")]
    assert sides[0] == pytest.approx(sides[1], abs=1)
    shot(page, "desk-compare-changed")
    page.locator("#compare-with").select_option(label=offered[1])
    until(
        page, "![...document.querySelectorAll('#compare-rows tr')].some((row) => row.textContent.includes('changed:'))"
    )
    assert "no change we can see" in rows(page)[KNEE_NAME][-1]


def test_the_other_hands_swing_is_mirrored_beside_it_and_its_numbers_not_compared(open_desk, earlier, axe, shot):
    """A switch hitter, six weeks ago from the left side: really filmed and read so."""
    folder, result = write_read_film(film_swing(Film(**SMALL, hand="left")))
    assert result["film"]["hand"] == "left"
    for path in folder.iterdir():
        default_storage.delete(f"{earlier.folder}/{path.name}")
        default_storage.save(f"{earlier.folder}/{path.name}", ContentFile(path.read_bytes()))
    held = Measurement.objects.get(clip=earlier)
    held.result = {**result, "read_with": held.result["read_with"]}
    held.save(update_fields=["result"])
    page = open_desk("foot_down")
    opened(page)
    assert "mirrored" in page.locator("#side-other").get_attribute("class")
    assert page.locator("#compare-mirror").get_attribute("aria-pressed") == "true"
    assert frames(page)[1] == result["swings"][0]["instants"]["foot_down"]["frame"]
    told = rows(page)
    assert len(told) > 3
    for *_values, says in told.values():
        assert "not comparable" in says
        assert "one swing is from the right side, the other from the left" in says
    here, there, _says = told[KNEE_NAME]
    assert "–" not in (here, there)  # both were read all the same
    until(page, "desk.film.frame >= 0")
    axe(page)
    shot(page, "desk-compare-hands")
    page.keyboard.press("m")
    assert "mirrored" not in (page.locator("#side-other").get_attribute("class") or "")


def test_space_plays_once_it_is_closed_however_it_was_opened(open_desk):
    page = open_desk("foot_down")
    page.locator("[data-do=compare]").first.click()
    page.keyboard.press("Escape")
    page.keyboard.press(" ")
    assert not page.evaluate("document.getElementById('compare').open")
    until(page, "desk.film.play.isOn")


def test_without_another_swing_it_says_so(open_desk):
    page = open_desk("foot_down")
    page.keyboard.press("Shift+Q")
    until(page, "document.getElementById('compare-words').textContent.includes('only swing of this player')")


def test_a_picture_that_comes_after_closing_is_drawn_nowhere(open_desk, film, earlier):
    """One film laid over the other, and the line slow: both frames come when the desk is alone again."""
    page = open_desk("foot_down", viewport={"width": 768, "height": 1024})
    down = film[1]["swings"][0]["instants"]["foot_down"]["frame"]
    opened(page)
    page.keyboard.press("o")
    held: list[Any] = []
    is_slow = True
    page.route(PICTURES, lambda route: held.append(route) if is_slow else route.continue_())
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")  # to where no frame has come yet
    assert wait_until(lambda: bool(page.evaluate("1") and held), 10)  # asked, so that routes are served
    page.keyboard.press("Escape")
    until(page, "!document.getElementById('compare').open")  # the browser closes it a moment after the key
    is_slow = False
    for route in held:  # by hand: taking the handler away leaves one that is on its way to it waiting for ever
        route.continue_()
    page.keyboard.press("ArrowRight")
    until(page, f"desk.film.frame === {down + 1}")
    opened(page)
    assert frames(page) == [down, down]
