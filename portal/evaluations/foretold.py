"""Whether the PDF will go on in the annex, told from the words alone: at the desk nobody can wait for it to be laid out.

The smallest type of static/css/pdf.css is set here line by line in our own font, and the layouts of `pdf.py` are tried in their
order. Tables, margins and where a page breaks are only near: of drafts that are about as long as two pages, some are told wrongly.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

from django.conf import settings
from PIL import ImageFont

from portal.evaluations.going_on import shortened
from portal.evaluations.layouts import CLOSE, FEWER, FIRST_PAGES, Layout
from portal.evaluations.present import present

MM = 72 / 25.4
PAPERS = {"a4": (170 * MM, 265 * MM), "letter": (175.9 * MM, 247.4 * MM)}  # what the margins of pdf.css leave
FONTS = settings.BASE_DIR / "static" / "fonts"
FINE = 20  # letters are measured at so many times their size


@dataclass(frozen=True)
class GoesOn:
    """What goes on in the annex: passages by their name in `going_on.shortened`, and how many drills of how many."""

    passages: tuple[str, ...] = ()
    drills: int = 0
    all_drills: int = 0

    def __bool__(self) -> bool:
        return bool(self.passages or self.drills)


@dataclass(frozen=True)
class Block:
    """A piece of a page in points; `whole` where it does not break."""

    height: float
    above: float = 0
    below: float = 4
    whole: bool = False


def goes_on(snapshot: dict[str, Any]) -> GoesOn:
    """What of this snapshot will stand in the annex, though it belongs on the first two pages."""
    content = present(snapshot)
    plan = content["plan"]
    layout = _layout_for(content)
    shown = len(plan) if layout.drills is None else layout.drills
    passages = shortened(content, layout.most)["going_on"]
    return GoesOn(tuple(passages), max(0, len(plan) - shown), len(plan))


def _layout_for(content: dict[str, Any]) -> Layout:
    """As `pdf._layout_for` chooses, of the smallest type: a larger one never changes what goes on."""
    plan = content["plan"]
    words = _words(shortened(content, None))
    if _pages(words) > (1 if plan else FIRST_PAGES):
        return next((one for one in CLOSE if _pages(_all(content, one)) <= FIRST_PAGES), CLOSE[-1])
    if not plan or _pages(_plan(content, len(plan))) <= 1 or _pages(_all(content, CLOSE[0])) <= FIRST_PAGES:
        return Layout("tight", "tight")
    fitting = (n for n in FEWER if n < len(plan) and _pages(_plan(content, n)) <= 1)
    return Layout("tight", "tight", next(fitting, 0))


def _all(content: dict[str, Any], layout: Layout) -> list[Block]:
    shown = len(content["plan"]) if layout.drills is None else layout.drills
    plan = _plan(content, shown) if content["plan"] else []
    return [*_words(shortened(content, layout.most)), *plan]


def _words(content: dict[str, Any]) -> list[Block]:
    """The coach's words, as templates/evaluations/print/content.html lays them out."""
    width = PAPERS[settings.PAPER][0]
    on = content["going_on"]
    blocks = [Block(11.9), Block(22.8, 4, 6), *_text(content["greeting"], width)]
    blocks += [Block(11.25)] * ("greeting" in on)
    if content["good"]:
        blocks += [_head("What is already good", width, 14, 10)]
        blocks += [Block(_height(sentence, width - 14, 9)) for sentence in content["good"]]
        blocks += [Block(11.25)] * ("good" in on)
    if thing := content["thing"]:
        inner = width - 20
        blocks += [Block(8 + 11.25, 8, 2), _head(thing["title"], inner, 14, 0), *_text(thing["words"], inner)]
        blocks += [Block(11.25)] * ("thing" in on)
        for picture in content["pictures_of_thing"]:
            lighter = "Lighter than it was filmed." if picture.get("lighter") else ""
            caption = f"{picture['swing']} {picture['caption']} {lighter} Yellow dashes: how we want it."
            blocks += [Block(56 * MM + 6 + _height(caption, inner, 9.5), 8, 0, whole=True)]
        blocks += [Block(6)]
    if content["closing"]:
        first, *more = _text(content["closing"], width)
        blocks += [Block(first.height, 14), *more, *[Block(11.25)] * ("closing" in on), Block(15.7)]
    return blocks


def _plan(content: dict[str, Any], shown: int) -> list[Block]:
    width = PAPERS[settings.PAPER][0]
    cautions = "Keep it safe: " + " ".join(content["cautions"])
    head = 16.8 + 6 + _height(cautions, width, 9, 1.35)
    drills = [_drill(drill, width - 21.5) for drill in content["plan"][:shown]]
    first = (
        Block(head + 4 + drills[0], 10, 6, whole=True) if drills else Block(head, 10)
    )  # they stay with the first drill
    blocks = [first, *(Block(drill, below=6, whole=True) for drill in drills[1:])]
    return [*blocks, *[Block(11.25)] * (shown < len(content["plan"]))]


def _drill(drill: dict[str, Any], width: float) -> float:
    """templates/evaluations/print/drill.html with its border."""
    facts = sum(_height(": ".join(pair), width - 54 * MM - 16, 9) + 4 for pair in drill["set_up_words"])
    height = 13.5 + _head(drill["title"], width, 12, 0).height + 2
    height += _height(drill.get("why", ""), width, 9) + 4 if drill.get("why") else 0
    height += _height(drill["words"] or drill["in_short"], width, 9) + 4
    height += max(24 * MM + 9, facts) + 4
    height += 4 + sum(_height(step, width - 16, 9) + 2 for step in drill["steps"]) + 4
    height += _height(f"You have it when: {drill['goal']}", width - 11, 9) + 4
    height += sum(_height(caution, width, 9.5) + 4 for caution in drill["own_cautions"])
    return height + 11.25 - 2.4


def _text(text: str, width: float) -> list[Block]:
    return [Block(_height(part, width, 9)) for part in re.split(r"\n\s*\n", text.strip()) if part]


def _head(text: str, width: float, size: float, above: float) -> Block:
    return Block(_lines(text, width, size, "bitter") * size * 1.2, above, 6)


def _height(text: str, width: float, size: float, leading: float = 1.25) -> float:
    return _lines(text, width, size) * size * leading


def _lines(text: str, width: float, size: float, font: str = "atkinson-hyperlegible-next") -> int:
    """How many lines a text takes, broken between words."""
    room, space = width / size * FINE, _length(" ", font)
    lines = 0
    for line in text.splitlines() or [""]:
        taken, at = 1, 0.0
        for word in line.split():
            long = _length(word, font)
            if at and at + space + long > room:
                taken, at = taken + 1, 0.0
            at += long + (space if at else 0)
            if at > room:  # one word longer than a line runs over it, or is broken
                at = room
        lines += taken
    return lines


@cache
def _font(name: str) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(FONTS / f"{name}.woff2"), FINE)


@cache
def _letter(letter: str, name: str) -> float:
    return _font(name).getlength(letter)


def _length(word: str, name: str) -> float:
    return sum(_letter(letter, name) for letter in word)


def _pages(blocks: list[Block]) -> int:
    """How many pages they fill; margins that meet count once, the larger of them."""
    room = PAPERS[settings.PAPER][1]
    pages, at = 1, blocks[0].height if blocks else 0.0
    for before, block in pairwise(blocks):
        height = max(before.below, block.above) + block.height
        if at + height <= room:
            at += height
        elif block.whole:
            pages, at = pages + 1, block.height
        else:
            pages, at = pages + 1, at + height - room
    return pages
