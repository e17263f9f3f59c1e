"""A marked-up frame: the coach's shapes land where the coach drew them, at every size of still."""

from __future__ import annotations

import io
from math import dist

import numpy as np
import pytest
from PIL import Image

from portal.desk.shapes import POINTS
from portal.evaluations.angles import angle_between
from portal.evaluations.parts import KINDS
from portal.evaluations.pictures import LARGEST, draw, jpeg

BLUE, WHITE, YELLOW, ORANGE = (86, 180, 233), (255, 255, 255), (240, 228, 66), (230, 159, 0)
GRASS = (93, 125, 70)


def drawn(*shapes, size=(640, 360), clip_width=1280, skeleton=None):
    return draw(Image.new("RGB", size, GRASS), shapes, clip_width, skeleton)


def near(picture, at, colour):
    """Whether the colour is met within two pixels of `at`."""
    x, y = at
    spots = [(x + dx, y + dy) for dx in range(-2, 3) for dy in range(-2, 3)]
    return any(dist(picture.getpixel(spot), colour) < 25 for spot in spots)


@pytest.mark.parametrize("size", [(320, 180), (640, 360), (1280, 720)])
def test_points_are_clip_pixels_at_every_size_of_still(size):
    picture = drawn({"kind": "line", "points": [[640, 100], [640, 600]], "tone": "seen"}, size=size)
    assert near(picture, (size[0] // 2, size[1] // 2), WHITE)


def test_a_ring_goes_round_its_middle():
    picture = drawn({"kind": "ring", "points": [[640, 360], [740, 360]], "tone": "coach"})
    for x, y in ((370, 180), (270, 180), (320, 230), (320, 130)):
        assert near(picture, (x, y), ORANGE)
    assert picture.getpixel((320, 180)) == GRASS


def test_an_arrow_has_its_head_at_the_last_point():
    picture = drawn({"kind": "arrow", "points": [[200, 360], [800, 360]], "tone": "coach"})
    orange = [[dist(picture.getpixel((x, y)), ORANGE) < 25 for y in range(360)] for x in (200, 375)]
    assert sum(orange[1]) > 2 * sum(orange[0])


def test_an_angle_shows_both_legs_and_its_degrees():
    shape = {"kind": "angle", "points": [[400, 200], [640, 360], [880, 200]], "tone": "seen"}
    picture = drawn(shape)
    assert near(picture, (260, 140), WHITE)
    assert near(picture, (380, 140), WHITE)
    with_words = np.asarray(picture.crop((325, 150, 400, 185)))
    assert (np.abs(with_words.astype(int) - WHITE).sum(axis=2) < 30).sum() > 40


def test_words_are_written_in_their_tone():
    picture = drawn({"kind": "words", "points": [[600, 300]], "tone": "coach", "text": "Here"})
    assert (np.abs(np.asarray(picture).astype(int) - ORANGE).sum(axis=2) < 30).sum() > 60


def test_every_kind_that_the_desk_can_draw_is_drawn():
    assert set(POINTS) == set(KINDS)


def test_an_unknown_kind_is_named():
    with pytest.raises(ValueError, match=r"must be one of line, free, arrow, .*words, got 'heart'"):
        drawn({"kind": "heart", "points": [[1, 1]]})


def test_the_skeleton_joins_only_what_was_seen():
    points = [[0, 0, 0.0]] * 33
    points[23], points[25], points[27] = [600, 300, 0.9], [640, 420, 0.9], [640, 560, 0.2]
    picture = drawn(skeleton={"points": points, "bat": [[500, 200], [300, 100]]})
    assert near(picture, (310, 180), BLUE)  # hip to knee
    assert not near(picture, (320, 245), BLUE)  # the ankle was not seen
    assert near(picture, (200, 75), BLUE)  # bat


def test_a_still_with_nothing_drawn_is_the_still():
    assert drawn().getcolors() == [(640 * 360, GRASS)]


def test_large_stills_are_made_smaller():
    assert drawn(size=(1920, 1080)).size == (LARGEST, 720)


def test_the_jpeg_carries_no_metadata():
    again = Image.open(io.BytesIO(jpeg(drawn())))
    assert (again.format, dict(again.getexif())) == ("JPEG", {})


@pytest.mark.parametrize("seed", range(5))
def test_angles_agree_with_numpy(seed):
    a, corner, b = np.random.default_rng(seed).uniform(0, 500, (3, 2))
    u, v = a - corner, b - corner
    expected = np.degrees(np.arctan2(abs(u[0] * v[1] - u[1] * v[0]), u @ v))
    assert angle_between(tuple(a), tuple(corner), tuple(b)) == pytest.approx(expected)


def test_an_angle_without_legs_is_zero():
    assert angle_between((5, 5), (5, 5), (9, 9)) == 0
