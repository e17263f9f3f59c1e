"""The page in two tables: what is aimed at, and where it stands from a side and along the line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from analysis.validate.agreement import share_of
from analysis.validate.judged import Counted, Judged, Told, grouped
from analysis.validate.power import beyond_band, called_out, calls_of, usual_halves
from analysis.validate.tables import IDS, number, percent, table

__all__ = ["errors", "rest"]

VIEWS = ("side", "along")
# What is aimed at: greatest mean absolute error, in the unit of the checkpoints.
ERRORS = (
    ("bend of the knees at foot down and contact, °", ("down_front_knee", "down_rear_knee", "contact_front_knee"), 5.0),
    ("front minus rear knee at foot down, °", ("down_knee_balance",), 5.5),
    ("hips at foot down, °", ("down_hips_square",), 8.0),
    ("shoulders at foot down, °", ("down_shoulders_square",), 6.0),
    ("opening of the front foot, °", ("down_foot_opening",), 8.0),
    ("head over the hips, %", ("down_head_centre",), 2.0),
    ("stride, %", ("down_stride_length",), 4.0),
)
MEDIAN = "median"
# The same where the bat and home plate are in sight.
WITH_MORE_SEEN = (
    ("angle of the bat at foot down, bat seen, °", ("down_bat_angle",), 4.0),
    (f"opening of the front foot, plate seen, {MEDIAN}, °", ("down_foot_opening",), 4.0),
)
# An instant, within how many frames, and the share aimed at.
INSTANTS = (("contact", 1, 0.95), ("foot_down", 1, 0.95), ("swing_start", 2, 0.90))
# Groups of at least so many readings are asked whether their intervals hold.
ASKED = 30


def errors(rows: Sequence[Told], more_seen: Sequence[Told]) -> str:
    """Mean absolute errors of every value, however wide its interval, and of those that were told.

    more_seen  the readings of the same clips with the bat and home plate in sight
    """
    heads = ["", "aim", *(f"{view}: {what}" for view in VIEWS for what in ("every value", "of those read", "read"))]
    lines = []
    for told, (words, names, aim) in (
        *((rows, each) for each in ERRORS),
        *((more_seen, each) for each in WITH_MORE_SEEN),
    ):
        cells = [words, f"≤ {aim:g}"]
        for view in VIEWS:
            own = [row for row in told if row.group == view and row.name in names]
            every = [abs(row.at_any_width - row.truth) for row in own if row.at_any_width is not None]
            known = [abs(row.error) for row in own if row.read]
            read = f"{len(known) / len(own):.0%}" if own else "–"
            middle = np.median if MEDIAN in words else np.mean
            cells += [_middle(every, aim, middle), _middle(known, aim, middle), read]
        lines.append(cells)
    return table(heads, lines, left=1)


def _middle(sizes: list[float], aim: float, middle: Callable[[list[float]], Any]) -> str:
    size = float(middle(sizes)) if sizes else np.nan
    return f"**{number(size)}**" if size > aim else number(size)


def rest(judged: Judged) -> str:
    """Instants, swings, intervals and calls."""
    lines = [["", "aim", *VIEWS]]
    for name, reach, aim in INSTANTS:
        words = f"{name.replace('_', ' ')} within {reach} frame{'s' * (reach > 1)}"
        lines.append([words, f"≥ {aim:.0%}", *(_within(judged, view, name, reach) for view in VIEWS)])
    swings = [row for row in judged.counted if row.wanted]
    none = [row for row in judged.counted if not row.wanted]
    lines += [
        ["swings counted right", "≥ 98%", *_by_view(swings, lambda row: row.found == row.wanted)],
        ["no swing found where there is none", "100%", *_by_view(none, lambda row: not row.found)],
        ["… nor a checked one", "", *_by_view(none, lambda row: not row.found and not row.checked)],
        [
            "checkpoints whose 90 % intervals hold in 85 to 95 %",
            "all",
            *(_holding(judged.told, view) for view in VIEWS),
        ],
    ]
    for words, limit, called in (
        ("sound: called out of range", "≤ 5%", "out of range"),
        ("sound: too close to call", "≤ 33%", "too close to call"),
        ("sound: not readable", "", "not readable"),
    ):
        shares = [calls_of([row for row in judged.told if row.group == view and row.sound]) for view in VIEWS]
        lines.append([words, limit, *(f"{share[called]:.0%}" if share else "–" for share in shares)])
    lines.append(
        [
            "2 half-widths outside a band laid so, of those read: called",
            "≥ 80%",
            *(_power(judged.told, view) for view in VIEWS),
        ]
    )
    for words, kept in (("of those read", True), ("of all", False)):
        lines.append(
            [
                f"2 half-widths or more outside the book's band, {words}: called",
                "≥ 80%",
                *(_called_faults(judged.told, view, kept) for view in VIEWS),
            ]
        )
    return table(lines[0], lines[1:], left=1)


def _within(judged: Judged, view: str, name: str, reach: int) -> str:
    own = [row for row in judged.timed if row.group == view and row.name == name]
    return percent(share_of([row.off is not None and round(abs(row.off), 6) <= reach for row in own]))


def _by_view(rows: Sequence[Counted], right: Callable[[Counted], bool]) -> list[str]:
    return [percent(share_of([right(row) for row in rows if row.group == view])) for view in VIEWS]


def _holding(rows: Sequence[Told], view: str) -> str:
    """How many checkpoints hold, of those with enough readings."""
    own = [
        [row.held for row in each if row.read] for (_, group, _), each in grouped(rows, IDS).items() if group == view
    ]
    asked = [float(np.mean(held)) for held in own if len(held) >= ASKED]
    return (
        f"{sum(0.85 <= share <= 0.95 for share in asked)} of {len(asked)} ({min(asked):.0%}–{max(asked):.0%})"
        if asked
        else "–"
    )


def _called_faults(rows: Sequence[Told], view: str, only_read: bool) -> str:
    """Share of the truths far outside the book's own band that are called so, where a checkpoint is ever read."""
    own = [row for row in rows if row.group == view]
    usual = usual_halves(own)
    far = [row for row in own if (beyond_band(row, usual) or 0.0) >= 2.0 and (row.read or not only_read)]
    return percent(share_of([row.call == "out of range" for row in far]))


def _power(rows: Sequence[Told], view: str) -> str:
    own = [row for row in rows if row.group == view]
    said = called_out([row for row in own if row.read], 2.0, usual_halves(own))
    return f"{np.mean(said):.0%}" if said else "–"
