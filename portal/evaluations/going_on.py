"""Words too long for two printed pages: how much of each passage stands there, and what goes on in the annex.

Nothing is left out: what is kept and what goes on are together what the coach wrote, cut between two sentences.
"""

from __future__ import annotations

import re
from typing import Any

LINE = 85  # characters that a line of print holds: a line break takes as much room as a whole line
SHARES = {"greeting": 1, "closing": 1, "thing": 2}  # of the room of one passage; the one thing gets the most
SENTENCE_ENDS = re.compile(r"(?<=[.!?…])\s+")
SPACES = re.compile(r"\s+")


def shortened(content: dict[str, Any], most: int | None) -> dict[str, Any]:
    """The content with passages of at most about `most` characters, and in `going_on` what of each goes on in the annex."""
    if most is None:
        return {**content, "going_on": {}}
    kept = dict(content)
    rest: dict[str, str | list[str]] = {}
    for name in ("greeting", "closing"):
        kept[name], rest[name] = cut(content[name], SHARES[name] * most)
    if content["thing"]:
        words, rest["thing"] = cut(content["thing"]["words"], SHARES["thing"] * most)
        kept["thing"] = {**content["thing"], "words": words}
    kept["good"], rest["good"] = _first_that_fit(content["good"], most)
    return {**kept, "going_on": {name: words for name, words in rest.items() if words}}


def cut(text: str, most: int) -> tuple[str, str]:
    """What of a text fits into so many characters, and the rest: cut between lines, else sentences, else words.

    >>> cut("It is good. It is long.", 12)
    ('It is good.', 'It is long.')
    >>> cut("Short.", 12)
    ('Short.', '')
    """
    text = text.strip()
    if _room(text) <= most:
        return text, ""
    at, room = 0, most
    for line in text.splitlines(keepends=True):
        if _room(line) > room:
            at += _within(line, room, must=at == 0)
            break
        at += len(line)
        room -= _room(line)
    return text[:at].rstrip(), text[at:].strip()


def _within(line: str, room: int, *, must: bool) -> int:
    """Where to cut one line: behind its last sentence that fits; behind a word, or anywhere, only where something `must` stay."""
    for between in (SENTENCE_ENDS, SPACES) if must else (SENTENCE_ENDS,):
        ends = [found.start() for found in between.finditer(line.rstrip()) if found.start() <= room]
        if ends:
            return ends[-1]
    return min(room, len(line)) if must else 0


def _first_that_fit(sentences: list[str], most: int) -> tuple[list[str], list[str]]:
    """The first of the good things, one at least, and the others."""
    fitting, room = 0, most
    for sentence in sentences:
        room -= _room(sentence)
        if room < 0:
            break
        fitting += 1
    fitting = max(1, fitting)
    return sentences[:fitting], sentences[fitting:]


def _room(text: str) -> int:
    return sum(max(LINE, len(line)) for line in text.splitlines())
