"""The hitter alone: what of a frame reaches a family shows the hitter and the bat sharp, and of all others nothing.

Nobody has to be found for that: all that is not hitter or bat is blurred beyond recognition, and what lies far from hitter
and marks is cut off. Who stands right before or behind the hitter stays, as far as the hitter's outline covers them.
Where the hitter was not seen on a frame the whole of it is blurred. All positions are upright clip pixels.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import dist
from typing import Any

from PIL import Image, ImageDraw, ImageFilter

from portal.evaluations.ink import box_of
from portal.evaluations.parts import Point, parts_of, unit_on_phone

Box = tuple[int, int, int, int]  # x0, y0, x1, y1

FACE = range(11)
TRUNK = (11, 12, 24, 23)
# Keypoints joined, with half the width of what is kept around them in trunk lengths (shoulders to hips): wide enough for
# loose clothes and a few pixels of noise; measured on the rendered hitters of tests/films, no source.
LIMBS = (
    (11, 13, 0.17), (12, 14, 0.17), (13, 15, 0.16), (14, 16, 0.16), (15, 19, 0.16), (16, 20, 0.16),
    (23, 25, 0.26), (24, 26, 0.26), (25, 27, 0.2), (26, 28, 0.2), (27, 31, 0.16), (28, 32, 0.16),
    (29, 31, 0.15), (30, 32, 0.15), (11, 12, 0.24), (23, 24, 0.26), (11, 23, 0.24), (12, 24, 0.24),
)  # fmt: skip
HEAD = 0.46  # with helmet, around the middle of the face
BAT = 0.09
LEAST_TRUNK = 0.22  # of the body's height: a trunk that leans to the camera looks shorter
EDGE = 0.06  # softness of the kept outline
COARSE = 0.28  # side of the blurred picture's cells: a head of the hitter's size is about two of them
LEAST_CELLS = 40  # along the picture's shorter side, at most: who stands nearer to the camera is larger
ROOM = 0.3  # around hitter and marks, in trunk lengths
FARTHEST = 0.25  # how much is added on a side for words, in sizes of the part without them
NARROWEST = 0.9  # width to height of what is cut out, where the frame is wide enough


def alone(picture: Image.Image, seen: Mapping[str, Any], clip_width: int) -> Image.Image:
    """The picture with everything blurred but hitter and bat.

    Parameters
    ----------
    picture : a still of the clip, of any size with the clip's shape.
    seen : {"points": 33 x [x, y, visibility] or None, "bat": [[x, y], [x, y]] or None, "box": [x0, y0, x1, y1] or None}.
    clip_width : the clip's width in pixels, which the points are measured in.
    """
    scale = picture.width / clip_width
    trunk = _trunk(seen, picture.height / scale) * scale
    blurred = _blurred(picture, trunk)
    outline = Image.new("L", picture.size, 0)
    pen = ImageDraw.Draw(outline)
    for a, b, radius in _kept(seen, trunk / scale):
        _thick(pen, (a[0] * scale, a[1] * scale), (b[0] * scale, b[1] * scale), radius * scale)
    if seen.get("points"):
        corners = [seen["points"][k] for k in TRUNK]
        if all(corners):
            pen.polygon([(p[0] * scale, p[1] * scale) for p in corners], fill=255)
    elif seen.get("box"):
        pen.rectangle([value * scale for value in seen["box"]], fill=255)
    soft = outline.filter(ImageFilter.GaussianBlur(EDGE * trunk)).point(lambda value: min(255, 2 * value))
    return Image.composite(picture, blurred, soft)  # soft beyond the outline; within it, as it was


def window(seen: Mapping[str, Any], shapes: Sequence[Mapping[str, Any]], size: tuple[int, int]) -> Box:
    """The part of a clip of this size that holds hitter, bat and marks, with room around them; all of it without any."""
    part = _holding(seen, shapes, size, 1.0)  # by their points: letters ten pixels high are hardly any
    width, height = part[2] - part[0], part[3] - part[1]
    wide = _holding(seen, shapes, size, unit_on_phone(width))  # with all that is drawn, words and all
    far_x, far_y = (
        FARTHEST * width,
        FARTHEST * height,
    )  # the hitter stays large: words beyond that are moved inward (ink.py)
    x0, y0 = max(wide[0], part[0] - far_x), max(wide[1], part[1] - far_y)
    return (round(x0), round(y0), round(min(wide[2], part[2] + far_x)), round(min(wide[3], part[3] + far_y)))


def _holding(seen: Mapping[str, Any], shapes: Sequence[Mapping[str, Any]], size: tuple[int, int], unit: float) -> Box:
    trunk = _trunk(seen, size[1])
    found = [*_reach(seen, trunk), *(_box(shape, unit, size) for shape in shapes)]
    if not found:
        return (0, 0, *size)
    room = ROOM * trunk
    x0, y0 = min(box[0] for box in found) - room, min(box[1] for box in found) - room
    x1, y1 = max(box[2] for box in found) + room, max(box[3] for box in found) + room
    lacking = max(0.0, NARROWEST * (y1 - y0) - (x1 - x0))
    x0, x1 = x0 - lacking / 2, x1 + lacking / 2
    if x0 < 0:
        x0, x1 = 0.0, x1 - x0  # what has no room on one side finds it on the other
    elif x1 > size[0]:
        x0, x1 = x0 - (x1 - size[0]), float(size[0])
    return (max(0, round(x0)), max(0, round(y0)), min(size[0], round(x1)), min(size[1], round(y1)))


def _trunk(seen: Mapping[str, Any], height: float) -> float:
    """Shoulders to hips, px; never less than what goes with the body's height, nor than a share of the picture's."""
    points, box = seen.get("points"), seen.get("box")
    lengths = [LEAST_TRUNK * (box[3] - box[1])] if box else []
    if points:
        rows = [point for point in points if point]
        lengths.append(LEAST_TRUNK * (max(y for _, y, _ in rows) - min(y for _, y, _ in rows)))
        if all(points[k] for k in TRUNK):
            lengths.append(dist(_middle(points[11], points[12]), _middle(points[23], points[24])))
    return max(lengths, default=height / 5)


def _kept(seen: Mapping[str, Any], trunk: float) -> Iterator[tuple[Point, Point, float]]:
    """Thick strokes that cover hitter and bat: two ends and half the width."""
    points = seen.get("points") or [None] * 33
    for a, b, half in LIMBS:
        if points[a] and points[b]:
            yield _place(points[a]), _place(points[b]), half * trunk
    face = [_place(points[k]) for k in FACE if points[k]]
    if face:
        middle = (sum(x for x, _ in face) / len(face), sum(y for _, y in face) / len(face))
        yield middle, middle, HEAD * trunk
        if points[11] and points[12]:
            yield middle, _middle(points[11], points[12]), 0.22 * trunk
    bat = seen.get("bat")
    if bat and all(bat):
        yield _place(bat[0]), _place(bat[1]), BAT * trunk


def _reach(seen: Mapping[str, Any], trunk: float) -> Iterator[tuple[float, float, float, float]]:
    strokes = list(_kept(seen, trunk))
    for a, b, half in strokes:
        yield (min(a[0], b[0]) - half, min(a[1], b[1]) - half, max(a[0], b[0]) + half, max(a[1], b[1]) + half)
    if not strokes and seen.get("box"):
        x0, y0, x1, y1 = seen["box"]
        yield (x0, y0, x1, y1)


def _box(shape: Mapping[str, Any], unit: float, size: tuple[int, int]) -> tuple[float, float, float, float]:
    """What is drawn of the shape, words and all, as far as it lies in the clip."""
    boxes = [box_of(part, unit) for part in parts_of(shape, [_place(point) for point in shape["points"]], unit)]
    x0, y0 = max(0.0, min(box[0] for box in boxes)), max(0.0, min(box[1] for box in boxes))
    return (x0, y0, min(size[0], max(box[2] for box in boxes)), min(size[1], max(box[3] for box in boxes)))


def _blurred(picture: Image.Image, trunk: float) -> Image.Image:
    """Averaged over large cells, which loses what was there for good, and smoothed."""
    cell = max(COARSE * trunk, min(picture.size) / LEAST_CELLS, 2.0)
    small = (max(1, round(picture.width / cell)), max(1, round(picture.height / cell)))
    coarse = picture.resize(small, Image.Resampling.BOX)
    return coarse.resize(picture.size, Image.Resampling.BICUBIC).filter(ImageFilter.GaussianBlur(cell / 2))


def _thick(pen: ImageDraw.ImageDraw, a: Point, b: Point, half: float) -> None:
    pen.line([a, b], fill=255, width=max(1, round(2 * half)))
    for x, y in (a, b):
        pen.ellipse((x - half, y - half, x + half, y + half), fill=255)


def _place(point: Sequence[float]) -> Point:
    return (float(point[0]), float(point[1]))


def _middle(a: Sequence[float], b: Sequence[float]) -> Point:
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
