"""A frame with what the coach drew on it. Shapes are the desk's (portal/desk/shapes.py), in upright clip pixels."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping, Sequence
from math import dist
from typing import Any

from PIL import Image

from portal.evaluations.angles import angle_mark
from portal.evaluations.ink import Ink, Point

LARGEST = 1280  # pixels of the longer side
QUALITY = 84
SEEN = 0.5  # least visibility of a keypoint that is drawn

# pairs of MediaPipe keypoint numbers: arms, trunk, legs, feet
BONES = (
    (11, 13), (13, 15), (12, 14), (14, 16), (11, 12), (11, 23), (12, 24), (23, 24),
    (23, 25), (25, 27), (24, 26), (26, 28), (27, 29), (29, 31), (27, 31), (28, 30), (30, 32), (28, 32),
)  # fmt: skip


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
        picture = picture.crop((x0, y0, x1, y1))
    picture = _fitted(picture)
    scale = picture.width / (right - left)

    def place(x: float, y: float) -> Point:
        return ((x - left) * scale, (y - top) * scale)

    ink = Ink(picture.size)
    if skeleton:
        _draw_skeleton(ink, skeleton, place)
    for shape in shapes:
        _draw_shape(ink, shape, [place(x, y) for x, y in shape["points"]])
    return ink.on(picture)


def jpeg(picture: Image.Image) -> bytes:
    """The picture as JPEG without any metadata."""
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def _fitted(picture: Image.Image) -> Image.Image:
    longer = max(picture.size)
    if longer <= LARGEST:
        return picture
    return picture.resize((round(picture.width * LARGEST / longer), round(picture.height * LARGEST / longer)))


def _line(ink: Ink, points: list[Point], tone: str) -> None:
    ink.line(points, tone)


def _arrow(ink: Ink, points: list[Point], tone: str) -> None:
    ink.line(points, tone)
    ink.tip(points[0], points[-1], tone)


def _angle(ink: Ink, points: list[Point], tone: str) -> None:
    mark = angle_mark(points[0], points[1], points[2])
    corner = points[1]
    if mark and mark.on:
        ink.line([corner, mark.on], tone, thin=0.5)
    ink.line(points, tone)
    if mark:
        away = 11.3 * ink.stroke
        at = (corner[0] + away * mark.toward[0] - 4 * ink.stroke, corner[1] + away * mark.toward[1] + 2 * ink.stroke)
        ink.words(at, f"{mark.size:.0f}°", tone)


def _ring(ink: Ink, points: list[Point], tone: str) -> None:
    ink.ring(points[0], dist(*points), tone)


DRAWN: dict[str, Callable[[Ink, list[Point], str], None]] = {
    "line": _line,
    "free": _line,
    "arrow": _arrow,
    "angle": _angle,
    "ring": _ring,
}


def _draw_shape(ink: Ink, shape: Mapping[str, Any], points: list[Point]) -> None:
    kind, tone, text = shape["kind"], shape.get("tone", "coach"), shape.get("text", "")
    if kind == "words":
        ink.words(points[0], text, tone)
        return
    if kind not in DRAWN:
        raise ValueError(f"A shape must be one of {', '.join([*DRAWN, 'words'])}, got {kind!r}.")
    DRAWN[kind](ink, points, tone)
    if text:
        ink.words((points[-1][0] + 2 * ink.stroke, points[-1][1] - 2 * ink.stroke), text, tone)


def _draw_skeleton(ink: Ink, skeleton: Mapping[str, Any], place: Callable[[float, float], Point]) -> None:
    points = skeleton.get("points") or [None] * 33
    for a, b in BONES:
        if all(p is not None and p[2] >= SEEN for p in (points[a], points[b])):
            ink.line([place(*points[k][:2]) for k in (a, b)], "seen", thin=0.7)
    bat = skeleton.get("bat")
    if bat and all(bat):
        ink.line([place(x, y) for x, y in bat], "seen")
