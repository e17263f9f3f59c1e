"""What may be drawn on a frame. Points are upright clip pixels, so that every size of still shows the same drawing.

line, arrow   two points; the arrow's tip is the last
angle         end, corner, end
upright       corner, end: the angle to the picture's vertical; level: to its horizontal
ground_line   corner, end, where the thin arm ends, and `degrees`: the angle on the ground to the line to the pitcher;
ground_edge   the same to the plate's front edge
ghost         the joints of a wanted position, one after the other: hip, knee, ankle and the like
ring          middle, a point on the ring
free          two points and more
words         the point where the words begin, at their lower edge
"""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from portal.evaluations.parts import ON_GROUND, TABLE

TONES = tuple(TABLE["tones"])
MAX_SHAPES = 60
MAX_FREE_POINTS = 400
MAX_TEXT = 120
FARTHEST = 20_000  # pixels; far outside any clip
POINTS = {
    "line": (2, 2),
    "arrow": (2, 2),
    "angle": (3, 3),
    "upright": (2, 2),
    "level": (2, 2),
    "ground_line": (3, 3),
    "ground_edge": (3, 3),
    "ghost": (2, 6),
    "ring": (2, 2),
    "free": (2, MAX_FREE_POINTS),
    "words": (1, 1),
}


def clean_shapes(given: object) -> list[dict[str, Any]]:
    """The shapes with nothing in them but what belongs there; ValidationError says which one is wrong and why."""
    if not isinstance(given, list):
        raise ValidationError(_("A drawing is a list of shapes."))
    if len(given) > MAX_SHAPES:
        raise ValidationError(_("At most %(most)s shapes fit on one frame.") % {"most": MAX_SHAPES})
    return [_clean_shape(number, shape) for number, shape in enumerate(given, start=1)]


def _clean_shape(number: int, shape: object) -> dict[str, Any]:
    if not isinstance(shape, dict) or shape.get("kind") not in list(
        POINTS
    ):  # a list: what is asked for may be unhashable
        raise ValidationError(_("Shape %(n)s is of no known kind.") % {"n": number})
    if shape.get("tone", "seen") not in TONES:
        raise ValidationError(_("Shape %(n)s has no known color.") % {"n": number})
    least, most = POINTS[shape["kind"]]
    points = shape.get("points")
    if not isinstance(points, list) or not least <= len(points) <= most or not all(map(_is_point, points)):
        raise ValidationError(_("Shape %(n)s has points that cannot be drawn.") % {"n": number})
    text = shape.get("text", "")
    if not isinstance(text, str) or (shape["kind"] == "words" and not text.strip()):
        raise ValidationError(_("Shape %(n)s has no words.") % {"n": number})
    clean = {
        "kind": shape["kind"],
        "points": [[round(float(x), 1), round(float(y), 1)] for x, y in points],
        "tone": shape.get("tone", "seen"),
    }
    if shape["kind"] in ON_GROUND:
        degrees = shape.get("degrees")
        if degrees is None or not _is_number(degrees) or not 0 <= degrees <= 90:
            raise ValidationError(_("Shape %(n)s does not tell its angle.") % {"n": number})
        clean["degrees"] = round(float(degrees), 1)
    return {**clean, "text": text.strip()[:MAX_TEXT]} if text.strip() else clean


def _is_point(point: object) -> bool:
    return isinstance(point, list) and len(point) == 2 and all(_is_number(c) and abs(c) < FARTHEST for c in point)


def _is_number(given: Any) -> bool:
    return isinstance(given, int | float) and not isinstance(given, bool) and given == given  # NaN is not
