"""A frame with what the coach drew on it. Shapes are the desk's (portal/desk/shapes.py), in upright clip pixels."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from PIL import Image

from portal.evaluations.ink import Ink
from portal.evaluations.parts import Part, Point, bat_parts, body_parts, parts_of, unit_on_phone

LARGEST = 1280  # pixels of the longer side
SHARP = (
    720  # pixels across, at least, of a part: two for each that a phone counts, so that drawn words have clean edges
)
QUALITY = 84


def draw(
    picture: Image.Image,
    shapes: Sequence[Mapping[str, Any]],
    clip_width: int,
    skeleton: Mapping[str, Any] | None = None,
    part: tuple[int, int, int, int] | None = None,
) -> Image.Image:
    """The picture with the shapes drawn over it, at most `LARGEST` pixels long.

    Parameters
    ----------
    picture : a still of the clip, of any size with the clip's shape.
    shapes : each {"kind", "points": [[x, y], ...], "tone", "text"}, points in upright clip pixels.
    clip_width : the clip's width in pixels, which the points are measured in.
    skeleton : {"points": 33 x [x, y, visibility] or None, "bat": [[x, y], [x, y]] or None}, or None for no skeleton.
    part : x0, y0, x1, y1 of what is cut out, in clip pixels; None for all of it.

    Raises
    ------
    ValueError
        For a shape of a kind that is not known, naming it.
    """
    left, top, right, _bottom = part or (0, 0, clip_width, 0)
    if part:
        size = picture.width / clip_width
        x0, y0, x1, y1 = (round(edge * size) for edge in part)
        picture = _sharp(picture.crop((x0, y0, x1, y1)))
    picture = _fitted(picture)
    scale = picture.width / (right - left)

    def place(x: float, y: float) -> Point:
        return ((x - left) * scale, (y - top) * scale)

    ink = Ink(picture.size, unit_on_phone(picture.width))
    if skeleton:
        ink.draw(_skeleton(skeleton, place, ink.unit))
    for shape in shapes:
        ink.draw(parts_of(shape, [place(x, y) for x, y in shape["points"]], ink.unit))
    return ink.on(picture)


def jpeg(picture: Image.Image) -> bytes:
    """The picture as JPEG without any metadata."""
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def _sharp(picture: Image.Image) -> Image.Image:
    if picture.width >= SHARP:
        return picture
    return picture.resize((SHARP, round(picture.height * SHARP / picture.width)), Image.Resampling.BICUBIC)


def _fitted(picture: Image.Image) -> Image.Image:
    longer = max(picture.size)
    if longer <= LARGEST:
        return picture
    return picture.resize((round(picture.width * LARGEST / longer), round(picture.height * LARGEST / longer)))


def _skeleton(skeleton: Mapping[str, Any], place: Callable[[float, float], Point], unit: float) -> Iterator[Part]:
    """Body and bat as far as they were surely seen."""
    points, bat = skeleton.get("points"), skeleton.get("bat")
    if points:
        yield from body_parts([point and [*place(*point[:2]), point[2]] for point in points], unit)
    if bat and all(bat):
        yield from bat_parts([place(x, y) for x, y in bat], unit)
