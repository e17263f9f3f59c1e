"""Ink on film: strokes, solid forms and words that hold on grass, dirt and net, because each has a dark edge. Pillow only.

What is drawn and in which numbers says `parts.py`; the desk's canvas draws the same (static/js/desk/paint.js). Colours are
Okabe and Ito's (2008, "Color Universal Design"), told apart with every common kind of colour blindness, and chalk white; the
wanted tone is dashed as well, so that colour never speaks alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from math import dist
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from portal.evaluations.parts import COLOURS, TABLE, Part, Point, Solid, Stroke, Words

EDGE = COLOURS["edge"]
FINE = 4  # drawn this much larger and scaled down, which makes the lines smooth
BAND = 256  # rows of the picture that are drawn at a time
FONT = Path(__file__).resolve().parents[2] / "static" / "fonts" / "atkinson-hyperlegible-next.woff2"
LETTERS = TABLE["letters"]
FEATURES = ["tnum"]  # figures of one width, as on the page

Box = tuple[float, float, float, float]


class Ink:
    """A drawing over a picture of this size. Draw parts, then `on(picture)` gives the picture with the drawing."""

    def __init__(self, size: tuple[int, int], unit: float) -> None:
        self.size = size
        self.unit = unit
        self._parts: list[Part] = []

    def draw(self, parts: Iterable[Part]) -> None:
        self._parts.extend(parts)

    def on(self, picture: Image.Image) -> Image.Image:
        """`picture` with the drawing over it; the picture itself is left as it is."""
        drawn = picture.convert("RGBA")
        for top in range(0, self.size[1], BAND):
            band = _Band(self.size, top, min(BAND, self.size[1] - top), self.unit)
            for part in self._parts:
                band.draw(part)
            drawn.alpha_composite(band.small(), (0, top))
        return drawn.convert("RGB")


class _Band:
    """A transparent band of the picture, drawn finer: a whole sheet of that size would take a hundred megabytes."""

    def __init__(self, size: tuple[int, int], top: int, height: int, unit: float) -> None:
        self.size, self.top, self.height, self.unit = size, top, height, unit
        self._sheet = Image.new("RGBA", (size[0] * FINE, height * FINE), (0, 0, 0, 0))
        self._pen = ImageDraw.Draw(self._sheet)

    def small(self) -> Image.Image:
        return self._sheet.resize(
            (self.size[0], self.height), Image.Resampling.BOX
        )  # no ringing: it would tint the tones

    def draw(self, part: Part) -> None:
        if isinstance(part, Stroke):
            self._stroke(part)
        elif isinstance(part, Solid):
            self._solid(part)
        else:
            self._words(part)

    def _stroke(self, stroke: Stroke) -> None:
        self._trace(stroke.points, EDGE, stroke.width + 2 * stroke.edge)
        on, off = (TABLE["dash"][name] * stroke.width for name in ("on", "off"))
        for piece in dashes(stroke.points, on, off) if stroke.dashed else [stroke.points]:
            self._trace(piece, stroke.colour, stroke.width)

    def _solid(self, solid: Solid) -> None:
        self._trace([*solid.corners, solid.corners[0], solid.corners[1]], EDGE, 2 * solid.edge)
        self._pen.polygon([self._fine(c) for c in solid.corners], fill=solid.colour)

    def _words(self, words: Words) -> None:
        font, step, edge = _letters(self.unit)
        x, y = kept_in(words, self.unit, (0, 0, *self.size))
        anchor = {"start": "ls", "middle": "ms", "end": "rs"}[words.anchor]
        for ink, width in ((EDGE, edge), (words.colour, 0.0)):
            for row, line in enumerate(words.lines):
                at = (x * FINE, (round(y + row * step) - self.top) * FINE)  # browsers put letters on whole pixels, too
                self._pen.text(
                    at, line, font=font, fill=ink, anchor=anchor, stroke_width=width * FINE, features=FEATURES
                )

    def _trace(self, points: Sequence[Point], colour: str, width: float) -> None:
        fine = [self._fine(p) for p in points]
        self._pen.line(fine, fill=colour, width=max(1, round(width * FINE)), joint="curve")
        radius = width * FINE / 2
        for x, y in (fine[0], fine[-1]):
            self._pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=colour)

    def _fine(self, point: Point) -> Point:
        """Pillow counts from the middle of a pixel."""
        return (point[0] * FINE - 0.5, (point[1] - self.top) * FINE - 0.5)


def box_of(part: Part, unit: float) -> Box:
    """What the part covers, edges and all: x0, y0, x1, y1."""
    if isinstance(part, Words):
        return _words_box(part, unit)
    points, room = (part.points, part.width / 2 + part.edge) if isinstance(part, Stroke) else (part.corners, part.edge)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) - room, min(ys) - room, max(xs) + room, max(ys) + room)


def kept_in(words: Words, unit: float, room: Box) -> Point:
    """Where the words are written, so that they lie inside of `room` (as far as they fit)."""
    x0, y0, x1, y1 = _words_box(words, unit)
    right, down = min(0.0, room[2] - x1), min(0.0, room[3] - y1)
    return (words.at[0] + max(right, room[0] - x0), words.at[1] + max(down, room[1] - y0))


def _words_box(words: Words, unit: float) -> Box:
    font, step, edge = _letters(unit)
    width = max(font.getlength(line, features=FEATURES) for line in words.lines) / FINE
    x = words.at[0] - {"start": 0.0, "middle": width / 2, "end": width}[words.anchor]
    tall = LETTERS["capital"] * LETTERS["size"] * unit
    below = LETTERS["below"] * LETTERS["size"] * unit
    y = words.at[1]
    return (x - edge, y - tall - edge, x + width + edge, y + (len(words.lines) - 1) * step + below + edge)


def _letters(unit: float) -> tuple[ImageFont.FreeTypeFont, float, float]:
    """The font (in fine pixels), from one line to the next, and the width of the edge."""
    size = LETTERS["size"] * unit
    return _font(size * FINE), LETTERS["line"] * size, LETTERS["edge"] * unit


def dashes(points: Sequence[Point], dash: float, gap: float) -> Iterator[list[Point]]:
    """The stretches of a polyline that are drawn when `dash` pixels are inked and `gap` pixels left, in turn.

    >>> [piece for piece in dashes([(0, 0), (10, 0)], 4, 2)]
    [[(0.0, 0.0), (4.0, 0.0)], [(6.0, 0.0), (10.0, 0.0)]]
    """
    inked, left, piece = True, dash, [(float(points[0][0]), float(points[0][1]))]
    for a, b in pairwise(points):
        length, gone = dist(a, b), 0.0
        while length - gone >= left:
            gone += left
            here = (a[0] + (b[0] - a[0]) * gone / length, a[1] + (b[1] - a[1]) * gone / length)
            if inked:
                yield [*piece, here]
            inked, left, piece = not inked, gap if inked else dash, [here]
        left -= length - gone
        if inked and length > gone:
            piece.append((float(b[0]), float(b[1])))
    if inked and len(piece) > 1:
        yield piece


@lru_cache(maxsize=8)
def _font(size: float) -> ImageFont.FreeTypeFont:
    font = ImageFont.truetype(str(FONT), size)
    font.set_variation_by_axes([LETTERS["weight"]])
    return font
