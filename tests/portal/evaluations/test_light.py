"""Dark film that is sent lighter: pictures and slow motion, where the coach chose so, and what is out stays as it was."""

import io

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django.template.loader import render_to_string
from PIL import Image

from portal.evaluations.light import CURVE, lighter
from portal.evaluations.publish import draft_snapshot, publish
from portal.evaluations.watching import film_of
from portal.intake.models import Submission
from portal.intake.states import State


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
    full.lighter = True
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
    full.lighter = True
    light = draft_snapshot(full)["pictures"]
    assert [one["src"] for one in plain] != [one["src"] for one in light]


@pytest.mark.parametrize("said", [True, False])
def test_the_page_says_what_is_lighter_than_it_was_filmed(said, full, published, coach, sign_in):
    published.snapshot["film"]["watch"]["lighter"] = said
    for one in published.snapshot["pictures"]:
        one["lighter"] = said
    type(published).objects.filter(pk=published.pk).update(snapshot=published.snapshot)
    page = sign_in(coach).get(f"/evaluations/{published.pk}/").content.decode()
    assert page.count("Lighter than it was filmed.") == (3 if said else 0)  # two pictures and the slow motion


@pytest.mark.parametrize("place", ["parts", "print"])
def test_a_picture_that_is_lighter_says_so_on_the_page_and_on_paper(place):
    about = {"src": "x", "alt": "x", "file": "", "caption": "", "swing": "", "tones": [], "lighter": True}
    page = render_to_string(f"evaluations/{place}/picture.html", {"picture": about})
    assert "Lighter than it was filmed." in page
    assert "Lighter" not in render_to_string(f"evaluations/{place}/picture.html", {"picture": {**about, "lighter": False}})
