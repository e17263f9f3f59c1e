"""Dark film that is sent lighter: pictures and slow motion, where the coach chose so, and what is out stays as it was."""

import io
import re

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django.template.loader import render_to_string
from PIL import Image

from portal.desk.models import MarkUp
from portal.evaluations.light import CURVE, TIMES, lighter
from portal.evaluations.publish import draft_snapshot, publish
from portal.evaluations.watching import film_of
from portal.intake.models import Submission
from portal.intake.states import State
from portal.measuring.models import Measurement
from tests.portal.conftest import make_clip


def picture_of(evaluation) -> np.ndarray:
    with default_storage.open(f"{evaluation.folder}/picture-2.jpg") as file:
        return np.asarray(Image.open(io.BytesIO(file.read())).convert("RGB"))


def test_the_curve_brings_shadows_out_and_keeps_black_white_and_their_order():
    exact = 255 * (1 - (1 - np.arange(256) / 255) ** 4)  # a screen over itself, twice
    assert np.abs(np.array(CURVE) - exact).max() <= 1.5
    assert (CURVE[0], CURVE[255]) == (0, 255)
    assert sorted(CURVE) == CURVE
    assert CURVE[10] > 3.5 * 10


def test_a_picture_is_made_lighter_in_each_channel_and_is_another_one():
    dark = Image.new("RGB", (2, 2), (0, 20, 200))
    assert lighter(dark).getpixel((0, 0)) == (0, CURVE[20], CURVE[200])
    assert dark.getpixel((0, 0)) == (0, 20, 200)


def test_what_is_sent_is_as_light_as_the_coach_chose_and_what_is_out_stays(full, published, coach, monkeypatch):
    assert not any(one["lighter"] for one in published.snapshot["pictures"])
    before, held = picture_of(published), dict(published.snapshot)
    full.lighter_clips = [str(full.clip_id)]
    full.version += 1
    full.save()
    Submission.objects.filter(pk=full.submission_id).update(state=State.IN_REVIEW)
    second = publish(full, coach)
    assert all(one["lighter"] for one in second.snapshot["pictures"])
    assert film_of(second)["lighter"]
    curve = np.array(CURVE)
    assert np.abs(picture_of(second).astype(int) - curve[before]).mean() < 4  # JPEG between the two
    published.refresh_from_db()
    assert (picture_of(published) == before).all()
    assert published.snapshot == held


def test_an_edition_of_before_that_knows_no_light_is_shown_as_it_was(published):
    del published.snapshot["film"]["watch"]["lighter"]
    assert not film_of(published).get("lighter")


def test_the_preview_shows_the_pictures_as_they_are_sent(full):
    plain = draft_snapshot(full)["pictures"]
    full.lighter_clips = [str(full.clip_id)]
    light = draft_snapshot(full)["pictures"]
    assert [one["src"] for one in plain] != [one["src"] for one in light]


def test_of_two_clips_only_the_one_that_was_chosen_is_sent_lighter(full):
    first = full.clip
    second = make_clip(full.submission, name="dark.MOV")
    Measurement.objects.filter(clip=second).delete()
    held = Measurement.objects.get(clip=first)
    held.pk, held.clip, held._state.adding = None, second, True
    held.save()
    MarkUp.objects.filter(review=full, frame=12).update(clip=second)
    full.lighter_clips = [str(second.pk)]
    draft = draft_snapshot(full)
    assert {one["clip"]: one["lighter"] for one in draft["pictures"]} == {str(first.pk): False, str(second.pk): True}
    assert not draft["film"]["watch"]["lighter"]


def test_the_desk_asks_for_each_clip_where_there_are_several(full, sign_in, coach):
    page = f"/submissions/{full.submission_id}/desk/"
    assert sign_in(coach).get(page).content.decode().count('data-draft="lighter_clips"') == 1
    second = make_clip(full.submission, name="dark.MOV")
    Measurement.objects.update_or_create(
        clip=second, defaults={"stage": "done", "result": Measurement.objects.get(clip=full.clip).result}
    )
    asked = sign_in(coach).get(page).content.decode()
    assert asked.count('data-draft="lighter_clips"') == 2
    assert re.search(rf'value="{full.clip_id}"[^>]*> Clip 1, the one you evaluate', asked)
    assert re.search(rf'value="{second.pk}"[^>]*> Clip 2<', asked)


def test_a_plain_player_without_scripts_shows_the_film_as_light(published, coach, sign_in):
    page = f"/evaluations/{published.pk}/"
    dark = sign_in(coach).get(page).content.decode()
    assert "<feBlend" not in dark
    published.snapshot["film"]["watch"]["lighter"] = True
    type(published).objects.filter(pk=published.pk).update(snapshot=published.snapshot)
    plain = sign_in(coach).get(page).content.decode().partition("<noscript>")[2].partition("</noscript>")[0]
    assert '<video class="lighter"' in plain
    assert plain.count('mode="screen"') == TIMES


@pytest.mark.parametrize("said", [True, False])
def test_the_page_says_what_is_lighter_than_it_was_filmed(said, full, published, coach, sign_in):
    published.snapshot["film"]["watch"]["lighter"] = said
    for one in published.snapshot["pictures"]:
        one["lighter"] = said
    type(published).objects.filter(pk=published.pk).update(snapshot=published.snapshot)
    page = sign_in(coach).get(f"/evaluations/{published.pk}/").content.decode()
    assert page.count("Lighter than it was filmed.") == (4 if said else 0)  # two pictures, and the slow motion with and without scripts


@pytest.mark.parametrize("place", ["parts", "print"])
def test_a_picture_that_is_lighter_says_so_on_the_page_and_on_paper(place):
    about = {"src": "x", "alt": "x", "file": "", "caption": "", "swing": "", "tones": [], "lighter": True}
    page = render_to_string(f"evaluations/{place}/picture.html", {"picture": about})
    assert "Lighter than it was filmed." in page
    assert "Lighter" not in render_to_string(f"evaluations/{place}/picture.html", {"picture": {**about, "lighter": False}})
