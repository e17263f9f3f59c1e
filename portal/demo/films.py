"""The clips of the demo: the rendered films of tests/films, given to the players whom they fit."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

from portal.demo.cast import Hitter

FOLDER = "tests/films/out"
ADULT_AGE = 16
MOST = 4  # each is really measured, and a reader waits for it


class NoFilms(Exception):
    """There is nothing to show."""


@dataclass(frozen=True)
class Film:
    path: Path
    hand: str
    person: str

    @property
    def data(self) -> bytes:
        return self.path.read_bytes()


def films() -> list[Film]:
    """The films to show, by name: at most MOST, of as many kinds of hitter as there are."""
    found = _finished()
    if not found:
        raise NoFilms(f"There are no films in {folder()}. They belong to the repository: get the folder again.")
    kinds: dict[tuple[str, str], int] = {}
    order = []
    for film in found:
        kind = (film.hand, film.person)
        kinds[kind] = kinds.get(kind, 0) + 1
        order.append((kinds[kind], film.path.name, film))
    return [film for _, _, film in sorted(order, key=lambda entry: entry[:2])[:MOST]]


def folder() -> Path:
    return Path(settings.BASE_DIR) / FOLDER


def _finished() -> list[Film]:
    """Every film that lies there with its truth."""
    return [
        Film(path, about["hand"], about["person"])
        for path in sorted(folder().glob("*.mp4"))
        if path.with_suffix(".json").is_file() and (about := json.loads(path.with_suffix(".json").read_text())["film"])
    ]


def choose(hitters: list[Hitter], known: list[Film]) -> list[Film]:
    """A film for each player: the right hand first, then grown-up or child; the one shown least so far of those that fit."""
    shown = dict.fromkeys(known, 0)
    chosen = []
    for hitter in hitters:
        person = "adult" if hitter.age >= ADULT_AGE else "child"
        film = min(
            known, key=lambda film: (film.hand != hitter.hits, film.person != person, shown[film], film.path.name)
        )
        shown[film] += 1
        chosen.append(film)
    return chosen


def another_copy(data: bytes) -> bytes:
    """The same film as a file of its own, so that it is measured anew: an empty box at its end, which players skip."""
    filling = os.urandom(16)
    return data + (8 + len(filling)).to_bytes(4, "big") + b"free" + filling


def cut_off(data: bytes) -> bytes:
    """What is left when a phone loses the line in the middle of copying."""
    return data[: len(data) // 8]
