"""What goes wrong with a clip, said so that a parent can do something about it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass
class ClipError(Exception):
    """A clip that can't be measured: a stable `code` and one kind sentence in `words`."""

    code: str
    words: str

    def __str__(self) -> str:
        return self.words
