"""What a mark is made of: strokes, solid forms and words, in pixels. Numbers and colours stand in static/marks.json alone.

static/js/desk/parts.js is its twin: both make the same parts from the same points, `ink.py` draws them with Pillow and
`paint.js` on the desk's canvas, and tests/browser/test_marks_alike.py compares the two by pixels. `unit` is the width of a line.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import cos, dist, pi, sin
from pathlib import Path
from typing import Any, Literal

from portal.evaluations.angles import AngleMark, AxisMark, angle_mark, axis_mark, ground_mark

TABLE: dict[str, Any] = json.loads((Path(__file__).resolve().parents[2] / "static" / "marks.json").read_text())
COLOURS: dict[str, str] = TABLE["colours"]
MM_PER_INCH = 25.4

Point = tuple[float, float]


@dataclass(frozen=True)
class Stroke:
    """A line through points, `width` wide on an edge of `edge` more to each side; with `dashed`, the line alone is broken."""

    points: list[Point]
    colour: str
    width: float
    edge: float
    dashed: bool = False


@dataclass(frozen=True)
class Solid:
    """A filled form with an edge around it."""

    corners: list[Point]
    colour: str
    edge: float


@dataclass(frozen=True)
class Words:
    """Lines of words. `at` is where the first one's lower edge begins, has its middle, or ends."""

    lines: list[str]
    at: Point
    anchor: Literal["start", "middle", "end"]
    colour: str


Part = Stroke | Solid | Words
Shape = Mapping[str, Any]


def parts_of(shape: Shape, points: Sequence[Point], unit: float) -> list[Part]:
    """The parts of a shape (see portal/desk/shapes.py) whose points lie at `points`, in the order in which they are drawn.

    Raises
    ------
    ValueError
        For a shape of a kind that is not known, naming it.
    """
    kind, tone, text = shape["kind"], shape.get("tone", "coach"), shape.get("text", "")
    if kind not in KINDS:
        raise ValueError(f"A shape must be one of {', '.join(KINDS)}, got {kind!r}.")
    made = list(KINDS[kind](points, tone, unit, shape))
    if text and kind not in TELL_THEMSELVES:
        made.append(_beside(kind, points, text, COLOURS[tone], unit))
    return made


def body_parts(points: Sequence[Sequence[float] | None], unit: float) -> list[Part]:
    """The lines of a body, each only where both of its ends were surely seen; points are [x, y, visibility]."""
    about = TABLE["body"]
    made: list[Part] = []
    for a, b in TABLE["limbs"]:
        ends = [point for point in (points[a], points[b]) if point is not None and point[2] >= about["least_visible"]]
        if len(ends) == 2:
            made.append(_stroke([_place(end) for end in ends], COLOURS["skeleton"], unit, about["width"]))
    return made


def bat_parts(bat: Sequence[Sequence[float]], unit: float) -> list[Part]:
    """A line from knob to barrel, and a dot at the barrel."""
    knob, barrel = (_place(end) for end in bat)
    dot = _around(barrel, TABLE["dot"]["radius"] * unit)
    colour = COLOURS["skeleton"]
    return [_stroke([knob, barrel], colour, unit), Solid(dot, colour, TABLE["head"]["edge"] * unit)]


def unit_on_phone(width: float) -> float:
    """The width of a line, px, on a picture `width` pixels wide that a phone shows from edge to edge.

    A capital letter is then as high as the table says, 4 mm: on a phone 360 CSS pixels wide with 160 of them to the inch (what
    Android calls density-independent pixels; phones today have 150 to 165; from memory). Wider phones show it larger.
    """
    phone, letters = TABLE["phone"], TABLE["letters"]
    capital = phone["letters_mm"] / MM_PER_INCH * phone["px_per_inch"]
    return float(capital / letters["capital"] / letters["size"] * width / phone["width_px"])


def wrapped(text: str, most: int | None = None) -> list[str]:
    """The words in lines of at most `most` letters; a longer word has a line of its own.

    >>> wrapped("keep the front knee soft", 10)
    ['keep the', 'front knee', 'soft']
    """
    most = most or TABLE["letters"]["most"]
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + 1 + len(word) <= most:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _line(points: Sequence[Point], tone: str, unit: float, _shape: Shape) -> Iterator[Part]:
    yield _stroke(points, COLOURS[tone], unit, dashed=tone == "wanted")


def _arrow(points: Sequence[Point], tone: str, unit: float, _shape: Shape) -> Iterator[Part]:
    about, (start, tip) = TABLE["head"], (points[0], points[-1])
    length = dist(start, tip) or 1.0
    long = min(about["long"] * unit, about["most_of_arrow"] * length)
    half = about["half"] * long / about["long"]
    ux, uy = (tip[0] - start[0]) / length, (tip[1] - start[1]) / length
    foot = (tip[0] - long * ux, tip[1] - long * uy)
    corners = [tip, (foot[0] - half * uy, foot[1] + half * ux), (foot[0] + half * uy, foot[1] - half * ux)]
    yield _stroke([start, foot], COLOURS[tone], unit, dashed=tone == "wanted")
    yield Solid(corners, COLOURS[tone], about["edge"] * unit)


def _ring(points: Sequence[Point], tone: str, unit: float, _shape: Shape) -> Iterator[Part]:
    middle, rim = points
    yield _stroke(_around(middle, dist(middle, rim)), COLOURS[tone], unit, dashed=tone == "wanted")


def _angle(points: Sequence[Point], tone: str, unit: float, shape: Shape) -> Iterator[Part]:
    mark = angle_mark(*points[:3]) if len(points) > 2 else None
    return _measured(points, points[1], mark, tone, unit, shape)


def _to_axis(points: Sequence[Point], tone: str, unit: float, shape: Shape) -> Iterator[Part]:
    return _measured(points, points[0], axis_mark(points[0], points[1], shape["kind"]), tone, unit, shape)


def _on_ground(points: Sequence[Point], tone: str, unit: float, shape: Shape) -> Iterator[Part]:
    """A line that lies on the ground: the corner, the end, and where its thin arm ends (static/js/desk/ground.js)."""
    told = len(points) > 2 and "degrees" in shape
    mark = ground_mark(points[0], points[1], points[2], shape["degrees"]) if told else None
    return _measured(points[:2], points[0], mark, tone, unit, shape)


def _measured(
    points: Sequence[Point], corner: Point, mark: AngleMark | AxisMark | None, tone: str, unit: float, shape: Shape
) -> Iterator[Part]:
    """Lines with the arm that they are told against, thin, and the degrees between both."""
    if mark and mark.on:
        yield _stroke([corner, mark.on], COLOURS[tone], unit, TABLE["line"]["thin"])
    yield _stroke(points, COLOURS[tone], unit, dashed=tone == "wanted")
    if mark:
        yield _number(corner, mark.size, mark.toward, shape.get("text", ""), tone, unit)


def _ghost(points: Sequence[Point], tone: str, unit: float, _shape: Shape) -> Iterator[Part]:
    """Dashes from joint to joint, and a dot at each."""
    yield _stroke(points, COLOURS[tone], unit, dashed=True)
    for point in points:
        yield Solid(_around(point, TABLE["dot"]["radius"] * unit), COLOURS[tone], TABLE["head"]["edge"] * unit)


def _words(points: Sequence[Point], tone: str, _unit: float, shape: Shape) -> Iterator[Part]:
    yield Words(wrapped(shape.get("text", "")), points[0], "start", COLOURS[tone])


KINDS: dict[str, Any] = {
    "line": _line,
    "free": _line,
    "arrow": _arrow,
    "angle": _angle,
    "upright": _to_axis,
    "level": _to_axis,
    "ground_line": _on_ground,
    "ground_edge": _on_ground,
    "ghost": _ghost,
    "ring": _ring,
    "words": _words,
}
ON_GROUND = ("ground_line", "ground_edge")
# Their words stand with their number, or are all there is.
TELL_THEMSELVES = ("words", "angle", "upright", "level", *ON_GROUND)


def _number(corner: Point, size: float, toward: Point, text: str, tone: str, unit: float) -> Words:
    """The degrees, in the opening of the angle; the words that belong to the mark below them."""
    letters = TABLE["letters"]
    away = TABLE["angle"]["away"] * unit
    down = letters["capital"] * letters["size"] * unit / 2
    at = (corner[0] + away * toward[0], corner[1] + away * toward[1] + down)
    return Words([f"{int(size + 0.5)}°", *wrapped(text)], at, "middle", COLOURS[tone])


def _beside(kind: str, points: Sequence[Point], text: str, colour: str, unit: float) -> Words:
    """Words that stick to their mark: beside the end that is not pointed at, on the side away from the mark."""
    letters = TABLE["letters"]
    away = letters["beside"] * unit
    if kind == "ring":
        far = dist(points[0], points[1]) + away
        at, right = (points[0][0] + far * sin(pi / 4), points[0][1] - far * cos(pi / 4)), True
    else:
        tail, other = (points[0], points[-1]) if kind == "arrow" else (points[-1], points[0])
        if kind == "ghost":
            tail = points[len(points) // 2]  # of three joints the one that bends
        right = tail[0] >= other[0]
        at = (tail[0] + (away if right else -away), tail[1])
    down = letters["capital"] * letters["size"] * unit / 2
    return Words(wrapped(text), (at[0], at[1] + down), "start" if right else "end", colour)


def _stroke(points: Iterable[Point], colour: str, unit: float, thin: float = 1.0, dashed: bool = False) -> Stroke:
    return Stroke(list(points), colour, thin * unit, TABLE["line"]["edge"] * unit, dashed)


def _around(middle: Point, radius: float) -> list[Point]:
    steps = TABLE["ring"]["steps"]
    turns = (2 * pi * k / steps for k in range(steps + 1))
    return [(middle[0] + radius * cos(turn), middle[1] + radius * sin(turn)) for turn in turns]


def _place(point: Sequence[float]) -> Point:
    return (float(point[0]), float(point[1]))
