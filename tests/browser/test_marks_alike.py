"""One definition of every mark: what the desk's canvas shows, the picture of the evaluation and the PDF are compared by pixels.

The canvas is a real Chromium's, at the size of the picture; both rasterizers smooth edges in their own way, so a pixel may differ
where an edge runs through it. Tolerance: of the inked pixels at most 3 in 100 differ by more than a third of full scale, of letters,
which each rasterizer smooths and hints in its own way, at most 1 in 14; and hardly any (5 in 1000) lie outside of what the
other has within one pixel.
"""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageFilter

from portal.desk.shapes import POINTS
from portal.evaluations.ink import Ink
from portal.evaluations.parts import TABLE, bat_parts, body_parts, parts_of, unit_on_phone

GRASS = (93, 125, 70)
SIZE = (480, 400)
UNIT = 4.0
FAR = 85  # of 255, in one channel
SHAPES: dict[str, dict[str, Any]] = {
    "line": {"kind": "line", "points": [[60, 60], [390, 300]]},
    "arrow": {"kind": "arrow", "points": [[80, 320], [360, 90]]},
    "short-arrow": {"kind": "arrow", "points": [[200, 200], [222, 210]]},
    "angle": {"kind": "angle", "points": [[120, 80], [240, 200], [380, 120]]},
    "bend": {"kind": "angle", "points": [[230, 60], [240, 190], [200, 330]]},
    "upright": {"kind": "upright", "points": [[240, 330], [290, 70]]},
    "level": {"kind": "level", "points": [[120, 220], [380, 150]]},
    "ground-line": {"kind": "ground_line", "points": [[150, 300], [380, 250], [400, 330]], "degrees": 32.4},
    "ground-edge": {"kind": "ground_edge", "points": [[200, 250], [300, 300], [330, 240]], "degrees": 48.0},
    "ghost": {"kind": "ghost", "points": [[250, 60], [290, 190], [240, 330]], "text": "wanted: 40°"},
    "ring": {"kind": "ring", "points": [[240, 200], [310, 260]]},
    "free": {"kind": "free", "points": [[60, 300], [130, 120], [230, 310], [330, 90], [400, 250]]},
    "words": {"kind": "words", "points": [[70, 180]], "text": "Soften the front knee a little"},
    "words-at-the-edge": {"kind": "words", "points": [[430, 395]], "text": "here"},
    "line-with-words": {"kind": "line", "points": [[300, 80], [180, 300]], "text": "stays tall"},
    "arrow-with-words": {"kind": "arrow", "points": [[150, 300], [330, 110]], "text": "push"},
    "ring-with-words": {"kind": "ring", "points": [[180, 240], [180, 310]], "text": "hands"},
    "bend-with-words": {"kind": "angle", "points": [[230, 60], [240, 190], [180, 330]], "text": "wanted"},
}
BODY = [[240 + 60 * ((k * 7) % 5 - 2), 40 + 10 * k, 0.3 if k in (14, 27) else 0.9] for k in range(33)]
PAINT = """async ([base, table, size, unit, parts]) => {
  const [{ paintParts }, made] = await Promise.all([import(base + "paint.js"), import(base + "parts.js")]);
  document.body.replaceChildren();
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = size;
  Object.assign(canvas.style, { position: "absolute", left: "0", top: "0" });
  document.body.append(canvas);
  const font = getComputedStyle(document.body).getPropertyValue("--text").trim();
  await document.fonts.load(`700 40px ${font}`, "44° Soften");
  const ink = canvas.getContext("2d");
  ink.fillStyle = "rgb(93, 125, 70)";
  ink.fillRect(0, 0, ...size);
  const list = parts.body
    ? [...made.bodyParts(table, parts.body, unit, false),
      ...made.batParts(table, parts.bat, unit, table.colours.skeleton)]
    : made.partsOf(table, parts.shape, parts.shape.points, unit);
  paintParts(ink, list, { table, font, clip: null }, unit, [0, 0, ...size]);
  return list.length;
}"""


@pytest.fixture
def canvas(open_page, site):
    """canvas(parts): the canvas with them, as Chromium shows it."""
    page = open_page(viewport={"width": 640, "height": 480})
    page.goto("/accounts/login/")
    base = f"{site}/static/js/desk/"

    def painted(parts: dict[str, Any]) -> Image.Image:
        assert page.evaluate(PAINT, [base, TABLE, SIZE, UNIT, parts])
        return Image.open(io.BytesIO(page.locator("canvas").screenshot())).convert("RGB")

    return painted


def picture(parts: list[Any]) -> Image.Image:
    ink = Ink(SIZE, UNIT)
    ink.draw(parts)
    return ink.on(Image.new("RGB", SIZE, GRASS))


def mirrored(shape: dict[str, Any]) -> dict[str, Any]:
    """The same of a hitter from the other side."""
    return {**shape, "points": [[SIZE[0] - x, *rest] for x, *rest in shape["points"]]}


def differ(one: Image.Image, other: Image.Image) -> tuple[float, float]:
    """Shares of the inked pixels that differ by more than FAR: as they are, and where a pixel's move explains nothing."""
    a, b = (np.asarray(image).astype(int) for image in (one, other))
    inked = (np.abs(a - GRASS).max(axis=2) > 40) | (np.abs(b - GRASS).max(axis=2) > 40)
    far = np.abs(a - b).max(axis=2) > FAR
    return far.sum() / inked.sum(), (outside(one, other) | outside(other, one)).sum() / inked.sum()


def outside(one: Image.Image, other: Image.Image) -> np.ndarray:
    """Pixels of one that lie outside of all that the other has within a pixel."""
    least, most = (
        np.asarray(other.filter(kind(3))).astype(int) for kind in (ImageFilter.MinFilter, ImageFilter.MaxFilter)
    )
    here = np.asarray(one).astype(int)
    return ((here < least - FAR) | (here > most + FAR)).any(axis=2)


def test_every_kind_of_mark_is_compared():
    assert {shape["kind"] for shape in SHAPES.values()} == set(POINTS)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("tone", TABLE["tones"])
def test_every_mark_is_the_same_on_the_desk_and_in_what_is_sent(canvas, tone, hand):
    for name, about in SHAPES.items():
        shape = {**(about if hand == "right" else mirrored(about)), "tone": tone}
        points = [tuple(point) for point in shape["points"]]
        on_desk, sent = canvas({"shape": shape}), picture(parts_of(shape, points, UNIT))
        as_is, moved = differ(on_desk, sent)
        has_words = "text" in shape or shape["kind"] in ("angle", "upright", "level", "ground_line", "ground_edge")
        assert as_is <= (0.07 if has_words else 0.03), (name, as_is)
        assert moved <= 0.005, (name, moved)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_so_are_body_and_bat_with_the_same_limbs_left_out(canvas, hand):
    turn = (lambda x: x) if hand == "right" else (lambda x: SIZE[0] - x)
    body = [[turn(x), y, seen] for x, y, seen in BODY]
    bat = [[turn(300), 180], [turn(420), 60]]
    as_is, moved = differ(canvas({"body": body, "bat": bat}), picture([*body_parts(body, UNIT), *bat_parts(bat, UNIT)]))
    assert as_is <= 0.03, as_is
    assert moved <= 0.005, moved


def test_another_definition_would_be_seen(canvas):
    """The comparison is not blind: a line a little thicker, or an arrow's head a little longer, fails it."""
    for name, unit in (("line", 1.3), ("arrow", 1.15)):
        shape = {**SHAPES[name], "tone": "coach"}
        ink = Ink(SIZE, UNIT)
        ink.draw(parts_of(shape, [tuple(point) for point in shape["points"]], UNIT * unit))
        as_is, _moved = differ(canvas({"shape": shape}), ink.on(Image.new("RGB", SIZE, GRASS)))
        assert as_is > 0.03, (name, as_is)


def test_a_capital_letter_is_four_millimetres_high_on_a_phone():
    """360 CSS pixels from edge to edge, 160 to the inch."""
    width = 720
    ink = Ink((width, 300), unit_on_phone(width))
    ink.draw(parts_of({"kind": "words", "tone": "seen", "text": "H"}, [(100, 200)], ink.unit))
    white = np.asarray(ink.on(Image.new("RGB", (width, 300)))).min(axis=2) > 200
    rows = np.flatnonzero(white.any(axis=1))
    millimetres = (rows[-1] - rows[0] + 1) * 360 / width / 160 * 25.4
    assert 3.9 <= millimetres <= 4.3
