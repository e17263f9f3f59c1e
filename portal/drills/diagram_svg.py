"""The scene of a set-up as SVG, for the page (colours of the theme) and for print (fixed ones)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.html import escape
from django.utils.translation import gettext as _

from portal.drills.diagram import Foot, Point, Scene, scene
from portal.drills.set_up import in_words

LEFT, RIGHT, TOP, BOTTOM = -92.0, 92.0, 84.0, -48.0


@dataclass(frozen=True)
class Inks:
    """Colours of a drawing."""

    line: str
    plate: str
    ball: str
    font: str


PAGE = Inks(line="currentColor", plate="var(--sheet)", ball="var(--clay)", font="inherit")
PRINT = Inks(line="#1f2a2e", plate="#fffdf8", ball="#9c3d1b", font="Hyperlegible")


def drawing(set_up: Mapping[str, Any] | None, hits: str = "right", inks: Inks = PAGE) -> str:
    """One `<svg>`; its `<title>` says in words what it shows."""
    s = scene(set_up, hits)
    parts = [_box(s), _plate(s, inks), *(_foot(f, inks) for f in s.feet), _step(s), _ball_flight(s), _ball(s, inks)]
    words = [_tosser_words(s, inks), _foot_words(s, inks), _flight_words(s, inks)]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {RIGHT - LEFT:g} {TOP - BOTTOM:g}" role="img">'
        f"<title>{escape(described(set_up))}</title>"
        f'<g fill="none" stroke="{inks.line}" stroke-width="1.2" stroke-linejoin="round">{"".join(parts)}</g>'
        f"{''.join(words)}</svg>"
    )


def described(set_up: Mapping[str, Any] | None) -> str:
    """The drawing in words, for those who do not see it."""
    told = "; ".join(f"{what}: {words}" for what, words in in_words(set_up))
    return _("From above, the pitcher at the top. %(told)s.") % {"told": told}


def _xy(point: Point) -> str:
    """Inches on the ground to the drawing: y upward becomes y downward."""
    return f"{point[0] - LEFT:.1f} {TOP - point[1]:.1f}"


def _box(s: Scene) -> str:
    left, bottom, right, top = s.box
    top = min(top, TOP)
    corners = ((left, bottom), (left, top), (right, top), (right, bottom))
    return f'<path d="M{" L".join(_xy(c) for c in corners)}z" stroke-dasharray="3 3" opacity=".7"/>'


def _plate(s: Scene, inks: Inks) -> str:
    return f'<path d="M{" L".join(_xy(p) for p in s.plate)}z" fill="{inks.plate}"/>'


def _foot(foot: Foot, inks: Inks) -> str:
    line = f'd="M{_xy(foot.heel)} L{_xy(foot.toe)}" stroke-linecap="round"'
    if foot.role == "start":
        return f'<path {line} stroke-width="6" opacity=".3"/>'
    return f'<path {line} stroke-width="6"/>'


def _step(s: Scene) -> str:
    """A small arrow from where the front foot starts to where it lands."""
    start, lands = (next((f for f in s.feet if f.role == role), None) for role in ("start", "lands"))
    if start is None or lands is None:
        return ""
    out = 9 if s.box[0] < 0 else -9
    a = (start.heel[0] - out, start.heel[1])
    b = (lands.heel[0] - out, lands.heel[1])
    head = f"M{_xy((b[0] - 3, b[1] - 4))} L{_xy(b)} L{_xy((b[0] + 3, b[1] - 4))}"
    return f'<path d="M{_xy(a)} L{_xy(b)} {head}" stroke-width="1.6"/>'


def _ball_flight(s: Scene) -> str:
    if s.flight is None:
        return ""
    net = (
        ""
        if s.net is None
        else f'<path d="M{_xy(s.net[0])} L{_xy(s.net[1])}" stroke-width="3" stroke-dasharray="2 1.5"/>'
    )
    return f'<path d="M{_xy(s.flight[0])} L{_xy(s.flight[1])}" stroke-dasharray="5 4"/>{_head(*s.flight)}{net}'


def _head(start: Point, end: Point) -> str:
    """The head of the arrow at `end`."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = (dx * dx + dy * dy) ** 0.5 or 1.0
    ux, uy = dx / length, dy / length
    left = (end[0] - 5 * ux - 3 * uy, end[1] - 5 * uy + 3 * ux)
    right = (end[0] - 5 * ux + 3 * uy, end[1] - 5 * uy - 3 * ux)
    return f'<path d="M{_xy(left)} L{_xy(end)} L{_xy(right)}"/>'


def _ball(s: Scene, inks: Inks) -> str:
    if s.ball is None:
        return ""
    x, y = _xy(s.ball).split()
    tee = f'<circle cx="{x}" cy="{y}" r="5"/>' if s.on_tee else ""
    return f'{tee}<circle cx="{x}" cy="{y}" r="2.8" fill="{inks.ball}" stroke="none"/>'


def _words(at: Point, text: str, inks: Inks, anchor: str) -> str:
    x, y = _xy(at).split()
    return (
        f'<text x="{x}" y="{y}" font-size="7.5" font-family="{inks.font}" fill="{inks.line}" '
        f'text-anchor="{anchor}">{escape(text)}</text>'
    )


def _foot_words(s: Scene, inks: Inks) -> str:
    """Inside the box, beside its inner line, above the landing foot."""
    lands = next(f for f in s.feet if f.role == "lands")
    left, _bottom, right, _top = s.box
    at, anchor = (right - 3, "end") if right < 0 else (left + 3, "start")
    return _words((at, lands.toe[1] + 8), _("front foot"), inks, anchor)


def _flight_words(s: Scene, inks: Inks) -> str:
    if s.flight is None:
        return ""
    end = s.flight[1]
    text = _("into the net") if s.net else _("ball flies here")
    if end[0] < -4:
        return _words((end[0] + 6, end[1] + 2), text, inks, "start")
    if end[0] > 4:
        return _words((end[0] - 6, end[1] + 2), text, inks, "end")
    return _words((end[0] + 7, end[1] - 6 if not s.net else end[1] - 8), text, inks, "start")


def _tosser_words(s: Scene, inks: Inks) -> str:
    if s.tosser is None:
        return ""
    x, y = _xy(s.tosser).split()
    person = f'<circle cx="{x}" cy="{y}" r="5" fill="none" stroke="{inks.line}" stroke-width="1.6"/>'
    return person + _words((s.tosser[0], s.tosser[1] - 13), _("tosser"), inks, "middle")
