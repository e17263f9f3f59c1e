"""The headline of the one thing: what to change, as the first clause of the book's sentence for that side of the band."""

from __future__ import annotations

import re

_CLAUSE_ENDS = re.compile(r"[.,;:]")
LEAST_WORDS = 4  # "Land first" alone says too little


def headline(sentence: str) -> str:
    """The sentence up to its first comma, semicolon or colon, without a full stop; further where that is only two or three words.

    >>> headline("Step softly and leave the head where it is, as if a cup of water sat on your helmet.")
    'Step softly and leave the head where it is'
    >>> headline("Land first, turn after: keep the belt buckle facing the plate until the foot is down.")
    'Land first, turn after'
    """
    ends = [match.start() for match in _CLAUSE_ENDS.finditer(sentence)] or [len(sentence)]
    return next((sentence[:end] for end in ends if len(sentence[:end].split()) >= LEAST_WORDS), sentence.rstrip("."))


def without_headline(title: str, words: str) -> str:
    """The words of the one thing as they stand under their headline: a first sentence that only says it again is left out."""
    again = title.strip().rstrip(".")
    rest = words.strip()
    return rest[len(again) + 1 :].strip() if again and rest.startswith(f"{again}. ") else rest
