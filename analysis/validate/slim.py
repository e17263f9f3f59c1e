"""Make a drawn SVG small enough to be kept: what nobody sees goes, and places are told to a tenth of a point."""

from __future__ import annotations

import re

__all__ = ["slim"]

# Attributes that hold places; numbers in words and in other attributes stay as they are.
PLACES = re.compile(r'\b(d|x|y|points|transform)="([^"]*)"')
FINE = re.compile(r"-?\d+\.\d+")
# Marks that lie together: `<use>` with one style.
MARKS = re.compile(r'<g( clip-path="[^"]*")?>\s*((?:<use [^>]*/>\s*){2,})</g>')
STYLE = re.compile(r' style="([^"]*)"')
# Hundreds of marks, drawn by a line whose gid is "dots-" and the name of its shape.
DOTS = re.compile(r'<g id="dots-(\w+)">(.*?)<g( clip-path="[^"]*") style="([^"]*)">(.*?)</g>\s*</g>', re.DOTALL)
PLACE = re.compile(r' x="([^"]*)" y="([^"]*)"')
# Each shape: how a stroke goes on from its middle, and how the stroke ends.
SHAPES = {"circle": ("h0", "round"), "square": ("h0", "square"), "tick": ("v2.4", "butt")}
NAME = re.compile(r'(?:id="|#)([mpC][0-9a-f_]{8,})\b')


def slim(svg: str) -> str:
    """The same picture in fewer bytes."""
    svg = re.sub(r"<metadata>.*?</metadata>", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<!--.*?-->|<!DOCTYPE[^>]*>", "", svg, flags=re.DOTALL)
    svg = re.sub(r"(font-family: [^;\"]*|font-size: 8px)(; |(?=\"))", "", svg).replace(
        "<svg ", '<svg font-family="sans-serif" font-size="8px" ', 1
    )
    svg = svg.replace(' style=""', "")
    svg = re.sub(r' transform="rotate\(-0 [^"]*"', "", svg)
    svg = PLACES.sub(lambda found: f'{found[1]}="{_short(found[2])}"', svg)
    svg = MARKS.sub(_together, svg)
    svg = DOTS.sub(_stroked, svg)
    names: dict[str, str] = {}
    for name in NAME.findall(svg):
        names.setdefault(name, f"{name[0]}{len(names)}")
    svg = NAME.sub(lambda found: found[0].replace(found[1], names[found[1]]), svg)
    svg = re.sub(r' id="(?:line2d|text|patch|xtick|ytick|PathCollection|matplotlib\.axis)_\d+"', "", svg)
    return re.sub(r">\s+<", ">\n<", svg).strip() + "\n"


def _short(places: str) -> str:
    return re.sub(r"\s+", " ", FINE.sub(lambda number: f"{float(number[0]):.1f}".removesuffix(".0"), places)).strip()


def _together(found: re.Match[str]) -> str:
    """Say the style that all marks of a group share once."""
    styles = set(STYLE.findall(found[2]))
    if len(styles) != 1:
        return found[0]
    return f'<g{found[1] or ""} style="{styles.pop()}">{STYLE.sub("", found[2])}</g>'


def _stroked(found: re.Match[str]) -> str:
    """One path for all dots of a line."""
    shape, marks, clip, style, places = found.groups()
    go_on, cap = SHAPES[shape]
    colour = re.sub(r"fill(-opacity)?:", r"stroke\1:", style)
    width = "1" if cap == "butt" else "2.2"
    path = "".join(f"M{x} {y}{go_on}" for x, y in PLACE.findall(places))
    drawn = f'<path d="{path}" style="{colour}; fill: none; stroke-width: {width}; stroke-linecap: {cap}"/>'
    # Marks are told where they are first used; a later line may use them as they are.
    return f"{marks}<g{clip}>{drawn}</g>"
