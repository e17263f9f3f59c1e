"""Ink on film: strokes, points and words that hold on grass, dirt and net, because each has a dark edge. Pillow only.

Colours are Okabe and Ito's (2008, "Color Universal Design"), told apart with every common kind of colour blindness; the
wanted tone is dashed as well, so that colour never speaks alone. All sizes are pixels of the picture that is drawn on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from math import cos, dist, pi, sin
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

Point = tuple[float, float]

TONES = {"seen": "#56b4e9", "wanted": "#f0e442", "coach": "#e69f00"}
EDGE = "#101614"
FINE = 2  # drawn this much larger and scaled down, which makes the lines smooth
FONT = Path(__file__).resolve().parents[2] / "static" / "fonts" / "atkinson-hyperlegible-next.woff2"


class Ink:
    """A transparent sheet over one picture. Draw on it, then `on(picture)` gives the picture with the drawing."""

    def __init__(self, size: tuple[int, int]) -> None:
        self.size = size
        self.stroke = max(2.5, size[1] / 150)
        self._sheet = Image.new("RGBA", (size[0] * FINE, size[1] * FINE), (0, 0, 0, 0))
        self._pen = ImageDraw.Draw(self._sheet)

    def line(self, points: Sequence[Point], tone: str, thin: float = 1.0) -> None:
        """A stroke through the points; dashed in the wanted tone."""
        width = self.stroke * thin
        pieces = list(dashes(points, 5 * width, 4 * width)) if tone == "wanted" else [list(points)]
        for piece in pieces:
            self._trace(piece, EDGE, width + max(2.0, 0.7 * width))
        for piece in pieces:
            self._trace(piece, TONES[tone], width)

    def tip(self, start: Point, end: Point, tone: str) -> None:
        """The head of an arrow at `end`."""
        length = dist(start, end) or 1.0
        ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        a, b = 5.5 * self.stroke, 3.2 * self.stroke
        foot = (end[0] - a * ux, end[1] - a * uy)
        corners = [end, (foot[0] - b * uy, foot[1] + b * ux), (foot[0] + b * uy, foot[1] - b * ux)]
        self._trace([*corners, end], EDGE, 0.9 * self.stroke)
        self._pen.polygon([_fine(c) for c in corners], fill=TONES[tone])

    def ring(self, middle: Point, radius: float, tone: str) -> None:
        steps = 72
        around = [
            (middle[0] + radius * cos(2 * pi * k / steps), middle[1] + radius * sin(2 * pi * k / steps))
            for k in range(steps + 1)
        ]
        self.line(around, tone)

    def words(self, at: Point, text: str, tone: str | None = None) -> None:
        """Words that begin at `at`, their lower edge there; kept inside the picture."""
        font = _font(round(max(14.0, self.size[1] / 26) * FINE))
        edge = round(1.1 * self.stroke * FINE / 2)
        left, top, right, bottom = self._pen.textbbox((0, 0), text, font=font, anchor="ls", stroke_width=edge)
        x = min(max(at[0] * FINE, -left), self._sheet.width - right)
        y = min(max(at[1] * FINE, -top), self._sheet.height - bottom)
        fill = TONES[tone] if tone else "#ffffff"
        self._pen.text((x, y), text, font=font, fill=fill, anchor="ls", stroke_width=edge, stroke_fill=EDGE)

    def on(self, picture: Image.Image) -> Image.Image:
        """`picture` with the drawing over it; the picture itself is left as it is."""
        sheet = self._sheet.resize(self.size, Image.Resampling.BOX)  # no ringing: it would tint the tones
        return Image.alpha_composite(picture.convert("RGBA"), sheet).convert("RGB")

    def _trace(self, points: Sequence[Point], colour: str, width: float) -> None:
        fine = [_fine(p) for p in points]
        self._pen.line(fine, fill=colour, width=max(1, round(width * FINE)), joint="curve")
        radius = width * FINE / 2
        for x, y in (fine[0], fine[-1]):
            self._pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=colour)


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


def _fine(point: Point) -> Point:
    return (point[0] * FINE, point[1] * FINE)


@lru_cache(maxsize=8)
def _font(size: int) -> ImageFont.FreeTypeFont:
    font = ImageFont.truetype(str(FONT), size)
    font.set_variation_by_axes([700])
    return font
