"""The pictures of an evaluation on a phone: from edge to edge, with words that can be read, larger at a tap."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from portal.desk.models import MarkUp
from portal.evaluations.publish import publish
from tests.browser.desk_film import until
from tests.browser.desk_pages import frame_of

pytest_plugins = ["tests.browser.desk_pages"]

MM_PER_PX = 25.4 / 160  # on a phone that is 360 CSS pixels wide


@pytest.fixture
def evaluation(desk_of, monkeypatch):
    """Two pictures: the skeleton with two angles, and words with a ring."""
    from portal.evaluations import tasks

    monkeypatch.setattr(tasks.make_pdf, "delay", lambda _pk: None)
    coach, review = desk_of
    frame = frame_of("foot_down")
    seen = review.clip.measurement.result["clip"]
    x, y = seen["width"] / 2, seen["height"] / 2
    shapes = [
        {"kind": "angle", "points": [[x, y - 40], [x + 20, y + 20], [x, y + 70]], "tone": "seen"},
        {"kind": "arrow", "points": [[x - 60, y - 30], [x - 20, y]], "tone": "coach", "text": "hands back"},
    ]
    MarkUp.objects.create(
        review=review, clip=review.clip, frame=frame, shapes=shapes, show_skeleton=True, for_thing=True
    )
    words = [{"kind": "words", "points": [[x, y]], "tone": "coach", "text": "H"}]
    MarkUp.objects.create(review=review, clip=review.clip, frame=frame + 4, shapes=words)
    review.thing_title = "Land softly"
    review.save()
    return publish(review, coach)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_pictures_fill_the_phone_and_open_larger_at_a_tap(open_page, sign_in, evaluation, axe, shot, theme):
    page = open_page(
        viewport={"width": 360, "height": 740},
        is_mobile=True,
        has_touch=True,
        device_scale_factor=2,
        color_scheme=theme,
    )
    sign_in(page, evaluation.submission.reviewer)
    page.goto(f"/evaluations/{evaluation.pk}/")
    pictures = page.locator("figure img")
    until(page, "[...document.querySelectorAll('figure img')].every((one) => one.complete)")
    assert [pictures.nth(n).bounding_box()["width"] for n in range(2)] == [360, 360]
    axe(page)
    shot(page, f"evaluation-pictures-{theme}")
    pictures.first.tap()
    large = page.locator("#enlarged img")
    assert large.bounding_box()["width"] >= 720
    shot(page, f"evaluation-enlarged-{theme}")
    axe(page)
    page.get_by_role("button", name="Close").tap()
    assert not page.locator("#enlarged").is_visible()


def test_a_drawn_capital_is_four_millimetres_high_on_the_phones_screen(page_phone, sign_in, evaluation):
    """Measured on the screen itself: the orange of the letter H."""
    page = page_phone
    sign_in(page, evaluation.submission.reviewer)
    page.goto(f"/evaluations/{evaluation.pk}/")
    until(page, "[...document.querySelectorAll('figure img')].every((one) => one.complete)")
    screen = Image.open(io.BytesIO(page.locator("figure img").nth(1).screenshot())).convert("RGB")
    orange = np.abs(np.asarray(screen).astype(int) - (230, 159, 0)).max(axis=2) < 40
    rows = np.flatnonzero(orange.any(axis=1))
    assert 3.8 <= (rows[-1] - rows[0] + 1) / 2 * MM_PER_PX <= 4.4
