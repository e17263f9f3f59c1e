"""Ink on film: colours, edges, dashes.

Tones: Okabe & Ito 2008, sky blue 86 180 233, yellow 240 228 66, orange 230 159 0 (from memory).
"""

from __future__ import annotations

from itertools import pairwise
from math import dist

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageColor

from portal.evaluations.ink import EDGE, TONES, Ink, dashes

OKABE_ITO = {"seen": (86, 180, 233), "wanted": (240, 228, 66), "coach": (230, 159, 0)}
GROUNDS = {"grass": (93, 125, 70), "dirt": (169, 119, 79), "net": (217, 220, 216), "night": (12, 14, 14)}


def luminance(colour):
    """Relative luminance, WCAG 2.2."""
    parts = [c / 255 for c in colour]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("tone", TONES)
def test_the_tones_are_okabe_and_itos(tone):
    assert ImageColor.getrgb(TONES[tone]) == OKABE_ITO[tone]


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("tone", ["seen", "coach"])
def test_a_line_holds_on_every_ground(tone, ground):
    """Line against its edge, or edge against the ground: one of the two stands out by 3:1 everywhere (WCAG 1.4.11)."""
    ink = Ink((400, 300))
    ink.line([(200, 20), (200, 280)], tone)
    row = [ink.on(Image.new("RGB", (400, 300), GROUNDS[ground])).getpixel((x, 150)) for x in range(190, 211)]
    core = row[10]
    assert dist(core, OKABE_ITO[tone]) < 12
    darkest = min(row, key=luminance)
    assert dist(darkest, ImageColor.getrgb(EDGE)) < 40
    assert contrast(core, darkest) >= 3


def test_wanted_is_dashed_so_that_colour_never_speaks_alone():
    ink = Ink((400, 300))
    ink.line([(200, 10), (200, 290)], "wanted")
    picture = ink.on(Image.new("RGB", (400, 300), "white"))
    yellow = [dist(picture.getpixel((200, y)), OKABE_ITO["wanted"]) < 60 for y in range(20, 280)]
    changes = sum(a != b for a, b in pairwise(yellow))
    assert changes >= 8


def test_the_picture_beneath_is_left_as_it_is():
    ground = Image.new("RGB", (100, 80), "white")
    ink = Ink(ground.size)
    ink.line([(0, 0), (100, 80)], "seen")
    ink.on(ground)
    assert ground.getcolors() == [(8000, (255, 255, 255))]


@pytest.mark.parametrize("at", [(-50, -50), (390, 5), (399, 299), (0, 500)])
def test_words_stay_inside_the_picture(at):
    ink = Ink((400, 300))
    ink.words(at, "here", "coach")
    left, top, right, bottom = ink._sheet.getbbox()
    whole = Ink((400, 300))
    whole.words((150, 150), "here", "coach")
    l2, t2, r2, b2 = whole._sheet.getbbox()
    assert abs((right - left) - (r2 - l2)) <= 2
    assert abs((bottom - top) - (b2 - t2)) <= 2


points = st.lists(st.tuples(st.floats(-500, 500), st.floats(-500, 500)), min_size=2, max_size=6)


@given(points=points, dash=st.floats(2, 60), gap=st.floats(2, 60))
def test_dashes_keep_their_length_and_their_share(points, dash, gap):
    total = sum(dist(a, b) for a, b in pairwise(points))
    pieces = list(dashes(points, dash, gap))
    lengths = [sum(dist(a, b) for a, b in pairwise(p)) for p in pieces]
    assert all(length == pytest.approx(dash, abs=1e-6) for length in lengths[:-1])
    whole, rest = divmod(total, dash + gap)
    assert sum(lengths) == pytest.approx(whole * dash + min(rest, dash), abs=1e-5)
