"""By whose motion: the same numbers for swings by each hand that made some, and for films that another generator made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from analysis.validate.agreement import share_of
from analysis.validate.judged import Judged, Told
from analysis.validate.tables import number, percent, table
from tests.lift.external import READINGS, Row, judged
from tests.lift.numbers import DRIVEN, PATHS, SEQUENCES

__all__ = ["by_hand", "external"]

VIEWS = ("side", "along")
FRAME_MS = 1000.0 / 60.0  # of the films by another generator, whose instants are told in ms
KNEES = ("down_front_knee", "down_rear_knee", "contact_front_knee")
HANDS: tuple[tuple[str, Callable[[int], bool]], ...] = (
    ("key poses, as most that is fitted to", lambda clip: clip < SEQUENCES),
    ("segments that turn one after another", lambda clip: SEQUENCES <= clip < PATHS),
    ("the bat's path, and the body after it", lambda clip: PATHS <= clip < DRIVEN),
    ("muscles, ground and gravity", lambda clip: clip >= DRIVEN),
)


@dataclass(frozen=True)
class _Reading:
    """One reading from a view: whether its interval holds, and value minus truth, None where it was not told."""

    group: str
    name: str
    held: bool
    off: float | None


def by_hand(rows: Judged) -> str:
    """How readings and foot down do by whose motion it is, one line for each hand and group of views."""
    lines = []
    for words, own in HANDS:
        readings = [_of(row) for row in rows.told if own(row.clip)]
        downs = [(row.group, row.off) for row in rows.timed if own(row.clip) and row.name == "foot_down"]
        swings = {row.clip: row.group for row in rows.counted if row.wanted and own(row.clip)}
        lines += _lines(words, readings, downs, list(swings.values()))
    return _table(lines) if lines else ""


def external() -> str:
    """The same of films that another generator made (`tests.lift.external`)."""
    films = [film for film in judged() if film.truth.instants]
    rows = [row for film in films for row in film.rows]
    readings = [_of_film(row) for row in rows if row.name in READINGS]
    downs = [
        (row.group, None if row.value is None else (row.value - row.truth) / FRAME_MS)
        for row in rows
        if row.name == "foot_down"
    ]
    groups = [film.rows[0].group for film in films if film.rows]
    return _table(_lines("films by another generator", readings, downs, groups))


def _of(row: Told) -> _Reading:
    return _Reading(row.group, row.name, row.read and row.held, row.error if row.read else None)


def _of_film(row: Row) -> _Reading:
    return _Reading(row.group, row.name, row.holds, None if row.value is None else row.value - row.truth)


def _lines(
    words: str, readings: Sequence[_Reading], downs: Sequence[tuple[str, float | None]], swings: Sequence[str]
) -> list[list[str]]:
    lines = []
    for view in VIEWS:
        own = [row for row in readings if row.group == view]
        if not own:
            continue
        told = [row for row in own if row.off is not None]
        near = [off is not None and round(abs(off), 6) <= 1.0 for group, off in downs if group == view]
        shoulders = ("down_shoulders_square",)
        lines.append(
            [
                words, view, str(swings.count(view)), f"{len(told) / len(own):.0%}", percent(share_of([row.held for row in told])),
                _mean(told, KNEES), _mean(told, shoulders), _mean(told, ("extension_reach",)), percent(share_of(near)),
            ]
        )  # fmt: skip
    return lines


def _mean(rows: Sequence[_Reading], names: Sequence[str]) -> str:
    sizes = [abs(row.off) for row in rows if row.name in names and row.off is not None]
    return number(float(np.mean(sizes))) if sizes else "–"


def _table(lines: list[list[str]]) -> str:
    heads = [
        "motion by", "view", "swings", "readings told", "of them held", "knees, °", "shoulders, °", "reach, % of an arm",
        "foot down ≤ 1 frame",
    ]  # fmt: skip
    return table(heads, lines, left=2)
