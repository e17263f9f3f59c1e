"""Ink on film: colours, edges, dashes, words.

Tones: Okabe & Ito 2008, sky blue 86 180 233, yellow 240 228 66, orange 230 159 0 (from memory).
"""

from __future__ import annotations

from itertools import pairwise
from math import dist
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageColor

from portal.evaluations.ink import EDGE, Ink, box_of, dashes, kept_in
from portal.evaluations.parts import COLOURS, TABLE, Words, parts_of, unit_on_phone

ROOT = Path(__file__).resolve().parents[3]
OKABE_ITO = {"skeleton": (86, 180, 233), "wanted": (240, 228, 66), "coach": (230, 159, 0)}
GROUNDS = {"grass": (93, 125, 70), "dirt": (169, 119, 79), "net": (217, 220, 216), "night": (12, 14, 14)}


WHITE = Image.new("RGB", (400, 300), "white")


def inked(points, tone, size=(400, 300)):
    ink = Ink(size, unit_on_phone(400))
    ink.draw(parts_of({"kind": "line", "tone": tone}, points, ink.unit))
    return ink


def luminance(colour):
    """Relative luminance, WCAG 2.2."""
    parts = [c / 255 for c in colour]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("tone", OKABE_ITO)
def test_the_tones_are_okabe_and_itos(tone):
    assert ImageColor.getrgb(COLOURS[tone]) == OKABE_ITO[tone]


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("tone", ["seen", "coach"])
def test_a_line_holds_on_every_ground(tone, ground):
    """Line against its edge, or edge against the ground: one of the two stands out by 3:1 everywhere (WCAG 1.4.11)."""
    ink = inked([(200, 20), (200, 280)], tone)
    drawn = ink.on(Image.new("RGB", (400, 300), GROUNDS[ground]))
    row = [drawn.getpixel((x, 150)) for x in range(190, 211)]
    core = row[10]
    assert dist(core, ImageColor.getrgb(COLOURS[tone])) < 12
    darkest = min(row, key=luminance)
    assert dist(darkest, ImageColor.getrgb(EDGE)) < 40
    assert contrast(core, darkest) >= 3


def test_wanted_is_dashed_so_that_colour_never_speaks_alone():
    ink = inked([(200, 10), (200, 290)], "wanted")
    picture = ink.on(Image.new("RGB", (400, 300), "white"))
    yellow = [dist(picture.getpixel((200, y)), OKABE_ITO["wanted"]) < 60 for y in range(20, 280)]
    changes = sum(a != b for a, b in pairwise(yellow))
    assert changes >= 8


def test_the_picture_beneath_is_left_as_it_is():
    ground = Image.new("RGB", (100, 80), "white")
    inked([(0, 0), (100, 80)], "seen", ground.size).on(ground)
    assert ground.getcolors() == [(8000, (255, 255, 255))]


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
@pytest.mark.parametrize("at", [(-50, -50), (390, 5), (399, 299), (0, 500), (150, 150)])
def test_words_stay_inside_the_picture(at, anchor):
    words = Words(["here", "and here"], at, anchor, COLOURS["coach"])
    x, y = kept_in(words, 2.0, (0, 0, 400, 300))
    x0, y0, x1, y1 = box_of(Words(words.lines, (x, y), anchor, words.colour), 2.0)
    assert min(x0, y0) >= -0.01
    assert x1 <= 400.01
    assert y1 <= 300.01
    assert at != (150, 150) or (x, y) == at


def test_the_page_has_the_same_colours():
    tokens = (ROOT / "static/css/tokens.css").read_text()
    assert all(f"--film-{name}: {colour};" in tokens for name, colour in COLOURS.items())


def test_a_coachs_line_never_has_the_blue_of_the_body():
    assert COLOURS["skeleton"] not in [COLOURS[tone] for tone in TABLE["tones"]]


def test_what_is_drawn_covers_what_it_says_it_covers():
    for shape in ({"kind": "arrow"}, {"kind": "line", "text": "over here"}, {"kind": "ring"}):
        parts = parts_of({**shape, "tone": "coach"}, [(200, 150), (230, 120)], 2.0)
        ink = Ink((400, 300), 2.0)
        ink.draw(parts)
        left, top, right, bottom = ImageChops.difference(ink.on(WHITE), WHITE).getbbox()
        boxes = [box_of(part, 2.0) for part in parts]
        assert left >= min(box[0] for box in boxes) - 2
        assert top >= min(box[1] for box in boxes) - 2
        assert right <= max(box[2] for box in boxes) + 2
        assert bottom <= max(box[3] for box in boxes) + 2


def test_a_large_picture_has_no_seams_between_its_bands():
    ink = inked([(50, 10), (50, 690)], "coach", (100, 700))
    drawn = ink.on(Image.new("RGB", (100, 700), "green"))
    rows = {drawn.crop((40, y, 60, y + 1)).tobytes() for y in range(30, 670)}
    assert len(rows) == 1


points = st.lists(st.tuples(st.floats(-500, 500), st.floats(-500, 500)), min_size=2, max_size=6)


@given(points=points, dash=st.floats(2, 60), gap=st.floats(2, 60))
def test_dashes_keep_their_length_and_their_share(points, dash, gap):
    total = sum(dist(a, b) for a, b in pairwise(points))
    pieces = list(dashes(points, dash, gap))
    lengths = [sum(dist(a, b) for a, b in pairwise(p)) for p in pieces]
    assert all(length == pytest.approx(dash, abs=1e-6) for length in lengths[:-1])
    whole, rest = divmod(total, dash + gap)
    assert sum(lengths) == pytest.approx(whole * dash + min(rest, dash), abs=1e-5)
