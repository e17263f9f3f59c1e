"""Places in a phrase: what is another player's each time stands in braces (static/js/desk/places.js fills them).

A sentence that was written for one child becomes a phrase for all: the name, he and she, and what follows them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from portal.measuring.door import CHECKPOINTS

PLACES = ("name", "reading", "drill", "he", "him", "his", "hers", "himself", "is", "was", "has", "does", "s", "es")
HE = {"he": "he", "him": "him", "his": "his", "himself": "himself", "she": "he", "hers": "hers", "herself": "himself"}
VERBS = {"is", "was", "has", "does"}
BRACES = re.compile(r"\{([^{}]*)\}")
_PRONOUN = re.compile(r"\b(he|she|him|his|himself|herself|hers|her)\b(?:(\s+)([a-z]+)\b)?(['’]s\b)?", re.IGNORECASE)
# The longest units first: what a share is of comes back with the reading.
_UNITS = "|".join(
    re.escape(unit) for unit in sorted({*(one.unit for one in CHECKPOINTS), "×"} - {""}, key=len, reverse=True)
)
_NUMBER = re.compile(rf"(?<![\w.])[−-]?\d+(?:[.,]\d+)?\s?(?:{_UNITS})(?!\w)")
# What follows "her" where it is "him" and not "his".
_AFTER_HIM = {
    "to", "in", "on", "at", "with", "for", "and", "or", "as", "when", "that", "the", "a", "an", "so", "back", "stay", "keep", "see",
}  # fmt: skip


def unknown(text: str) -> list[str]:
    """What stands in braces and is no place, or a brace that is left alone."""
    found = [name for name in BRACES.findall(text) if name.lower() not in PLACES]
    return found + [brace for brace in "{}" if brace in BRACES.sub("", text)]


def without_names(text: str, names: Iterable[str]) -> str:
    """Every one of these names, and two of them side by side, as {name}."""
    known = sorted({name for name in names if name.strip()}, key=len, reverse=True)
    if not known:
        return text
    one = "(?:" + "|".join(re.escape(name) for name in known) + ")"
    return re.sub(rf"(?<!\w){one}(?:[ -]{one})*(?!\w)", "{name}", text)


def with_places(text: str, names: Iterable[str]) -> str:
    """A sentence as a phrase: names, numbers with a unit, and he or she with the verb that follows."""
    phrase = without_names(text, names)
    phrase = _NUMBER.sub("{reading}", phrase, count=1)
    return _PRONOUN.sub(_pronoun, phrase)


def _pronoun(match: re.Match[str]) -> str:
    word, space, after, short = match[1], match[2] or "", match[3] or "", match[4] or ""
    place = HE.get(word.lower()) or _her(after)
    if word[0].isupper():
        place = place.capitalize()
    verb = _verb(after) if place.lower() == "he" else after
    return "{" + place + "}" + space + verb + short


def _her(after: str) -> str:
    """ "her" is "his" before a thing of hers, and "him" elsewhere."""
    return "him" if not after or after.lower() in _AFTER_HIM else "his"


def _verb(word: str) -> str:
    """keep{s} for "keeps": they keep, she keeps."""
    if word in VERBS:
        return "{" + word + "}"
    if re.search(r"(?:ch|sh|ss|x|o)es$", word):
        return word[:-2] + "{es}"
    return word[:-1] + "{s}" if re.search(r"[^s'’i]s$", word) and not word.endswith("ies") else word
