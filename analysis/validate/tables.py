"""Tables in Markdown of what was judged."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

import numpy as np

from analysis.read import CHECKPOINTS, INSTANT_NAMES, INSTANTS, checkpoint
from analysis.validate.agreement import (
    Share,
    correlation,
    interval_score,
    least_of_fifths,
    limits_of_agreement,
    rank_correlation,
    share_of,
)
from analysis.validate.judged import GROUPS, Counted, Key, Timed, Told, grouped
from analysis.validate.power import PLANTED, SIZES, beyond_band, called_out, calls_of, usual_halves

__all__ = [
    "ENOUGH", "IDS", "by_view", "calls", "counts", "fewer_frames", "instants", "kinds", "more_seen", "number", "percent",
    "planted", "readings", "room", "silent_from_the_side", "table",
]  # fmt: skip

# From so many on, a group's coverage is worth a claim: 139 at 90 % leave -+ 5 % at 95 % confidence.
ENOUGH = 139
# Groups of fewer clips are left out where two kinds of film are compared.
FEW = 30
IDS = tuple(entry.id for entry in CHECKPOINTS)
BY_BAT_OR_LINE = (
    "setup_face", "down_hips_square", "down_shoulders_square", "down_head_centre", "down_foot_opening", "down_bat_angle",
)  # fmt: skip


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], left: int = 2) -> str:
    """A table; the first `left` columns are words, the others numbers."""
    rule = ["---"] * left + ["--:"] * (len(heads) - left)
    return "\n".join("| " + " | ".join(cells) + " |" for cells in [heads, rule, *rows])


def number(value: float, digits: int = 1) -> str:
    """A number, or a dash where there is none."""
    return f"{value:.{digits}f}" if math.isfinite(value) else "–"


def percent(share: Share) -> str:
    """A share with its confidence interval."""
    return f"{share.share:.0%} ({share.low:.0%}–{share.high:.0%})" if share.of else "–"


def counts(rows: Sequence[Counted]) -> str:
    """Swings found by kind of clip, view and rate."""
    keys = sorted({(row.kind != "swing", row.kind, row.group, row.rate) for row in rows})
    lines = []
    for _, kind, group, rate in keys:
        own = [row for row in rows if (row.kind, row.group, row.rate) == (kind, group, rate)]
        hands = [row.hand_right for row in own if row.hand_right is not None]
        right = share_of([row.found == row.wanted for row in own])
        false = sum(max(row.found - row.wanted, 0) for row in own)
        missed = sum(max(row.wanted - row.found, 0) for row in own)
        checked = sum(row.checked for row in own)
        lines.append([
            kind, group, str(rate), str(len(own)), percent(right), str(missed), str(false), str(checked), percent(share_of(hands)),
        ])  # fmt: skip
    heads = ["clips of", "view", "rate", "clips", "counted right", "missed", "false", "checked", "hand right"]
    return table(heads, lines)


def instants(rows: Sequence[Timed]) -> str:
    """Errors of instants in frames."""
    heads = [
        "instant",
        "view",
        "rate",
        "n",
        "found",
        "bias",
        "mean abs.",
        "median",
        "≤ 1 frame",
        "≤ 2 frames",
        "90 % held",
        "± frames",
    ]
    return table(heads, [_instant(key, own) for key, own in grouped(rows, INSTANTS).items()])


def _instant(key: Key, rows: list[Timed]) -> list[str]:
    known = [(row.off, row.half) for row in rows if row.off is not None and row.half is not None]
    off, half = np.array(known).reshape(-1, 2).T
    size = np.abs(off)
    found = f"{len(known) / len(rows):.0%}"
    told = [INSTANT_NAMES[key[0]], key[1], str(key[2]), str(len(rows)), found]
    if not known:
        return told + ["–"] * 7
    within = [f"{np.mean(np.round(size, 6) <= reach):.0%}" for reach in (1.0, 2.0)]
    numbers = [number(float(value)) for value in (off.mean(), size.mean(), np.median(size))]
    return [*told, *numbers, *within, percent(share_of(size <= half)), number(float(np.median(half)))]


def readings(rows: Sequence[Told]) -> str:
    """Agreement, coverage and width of every checkpoint, by view and rate."""
    heads = [
        "checkpoint", "view", "rate", "n", "not readable", "bias", "mean abs.", "95 % limits", "90 % held", "least of fifths",
        "interval score", "± width", "of band", "rank corr.", "SD of truths", "r",
    ]  # fmt: skip
    return table(heads, [_reading(key, own) for key, own in grouped(rows, IDS).items()])


def _reading(key: Key, rows: list[Told]) -> list[str]:
    known = [row for row in rows if row.read]
    unit, silent = checkpoint(key[0]).unit, f"{1 - len(known) / len(rows):.0%}"
    told = [f"{key[0]}, {unit}", key[1], str(key[2]), str(len(rows)), silent]
    if not known:
        return told + ["–"] * 11
    off, half = np.array([row.error for row in known]), np.array([row.half for row in known])
    digits = 2 if unit.startswith("×") else 1
    low, high = limits_of_agreement(off)
    limits = f"{number(low, digits)} … {number(high, digits)}" if math.isfinite(low) else "–"
    low_ends, high_ends = zip(*(row.interval for row in known if row.interval), strict=True)
    truths = np.array([row.truth for row in known])
    score = interval_score(low_ends, high_ends, truths)
    least = least_of_fifths([row.held for row in known], truths)
    spread = number(float(truths.std(ddof=1)), digits) if len(truths) > 1 else "–"
    return [
        *told, number(float(off.mean()), digits), number(float(np.abs(off).mean()), digits), limits,
        percent(share_of([row.held for row in known])), f"{least:.0%}" if math.isfinite(least) else "–",
        number(score, digits), number(float(np.median(half)), digits),
        number(2.0 * float(np.median(half)) / room(known[0]), 2), number(rank_correlation(off, half), 2), spread,
        number(correlation(truths + off, truths), 2),
    ]  # fmt: skip


def fewer_frames(rows: Sequence[Told], fewer: Sequence[Told]) -> str:
    """How readings fare when a film has half as many frames a second: from those of all frames to those of half."""
    return _compared(rows, fewer)


def more_seen(rows: Sequence[Told], more: Sequence[Told]) -> str:
    """How readings that go by the bat or by the line to the pitcher fare when the bat and home plate are in sight."""
    return _compared(*([row for row in own if row.name in BY_BAT_OR_LINE] for own in (rows, more)))


def _compared(rows: Sequence[Told], others: Sequence[Told]) -> str:
    by, least = (by_view(own) for own in (rows, others))
    heads = ["checkpoint", "view", "n", "not readable", "mean abs.", "median", "90 % held", "± width"]
    lines = []
    for key in by:
        if key not in least or len(least[key]) < FEW or not any(row.read for row in (*by[key], *least[key])):
            continue
        told = [_short(own, 2 if checkpoint(key[0]).unit.startswith("×") else 1) for own in (by[key], least[key])]
        cells = [f"{one} → {other}" for one, other in zip(*told, strict=True)]
        lines.append([f"{key[0]}, {checkpoint(key[0]).unit}", key[1], *cells])
    return table(heads, lines)


def by_view(rows: Sequence[Told]) -> dict[tuple[str, str], list[Told]]:
    """Rows by checkpoint, in the order of the book, and group of view."""
    by: dict[tuple[str, str], list[Told]] = {}
    for (name, group, _), own in grouped(rows, IDS).items():
        by.setdefault((name, group), []).extend(own)
    return by


def _short(rows: list[Told], digits: int) -> list[str]:
    known = [row for row in rows if row.read]
    size, half = [abs(row.error) for row in known] or [np.nan], [row.half for row in known]
    return [
        str(len(rows)), f"{1 - len(known) / len(rows):.0%}", number(float(np.mean(size)), digits), number(float(np.median(size)), digits),
        f"{np.mean([row.held for row in known]):.0%}" if known else "–", number(float(np.median(half)) if known else np.nan, digits),
    ]  # fmt: skip


def room(row: Told) -> float:
    """How wide the band is; one that is open at an end reaches to the end of the reading strip."""
    scale, (low, high) = checkpoint(row.name).scale, row.band
    return (scale[1] if high is None else high) - (scale[0] if low is None else low)


def calls(rows: Sequence[Told]) -> str:
    """What is called of sound readings, and of faults by their size, by the book's own bands."""
    heads = ["truth", "view", "n", "in range", "out of range", "too close to call", "not readable"]
    usual, lines = usual_halves(rows), []
    for group in _groups(rows):
        own = [row for row in rows if row.group == group]
        sizes = [beyond_band(row, usual) for row in own]
        lines.append(_calls("in its band", group, [row for row in own if row.sound]))
        lines += [
            _calls(
                _size(low, high),
                group,
                [row for row, size in zip(own, sizes, strict=True) if size and low < size <= high],
            )
            for low, high in pairwise(SIZES)
        ]
        never = [row for row, size in zip(own, sizes, strict=True) if size is None and not row.sound]
        lines += [_calls("outside, where none is ever read", group, never)] if never else []
    return table(heads, lines)


def _size(low: float, high: float) -> str:
    return f"more than {low:.0f} × beyond" if math.isinf(high) else f"{low:.0f} to {high:.0f} × beyond"


def _calls(name: str, group: str, rows: list[Told]) -> list[str]:
    return (
        [name, group, str(len(rows)), *(f"{share:.0%}" for share in calls_of(rows).values())]
        if rows
        else [name, group, "0", *["–"] * 4]
    )


def _groups(rows: Sequence[Told]) -> list[str]:
    return [group for group in GROUPS if any(row.group == group for row in rows)]


def silent_from_the_side(rows: Sequence[Told]) -> str:
    """By checkpoint: calls of side clips whose truth lies in its band."""
    own = [row for row in rows if row.group == "side" and row.sound]
    heads = ["checkpoint", "n", "in range", "out of range", "too close to call", "not readable"]
    return table(
        heads,
        [
            [name, str(len(every)), *(f"{share:.0%}" for share in calls_of(every).values())]
            for (name, _, _), every in grouped(own, IDS).items()
        ],
        left=1,
    )


def planted(rows: Sequence[Told]) -> str:
    """How often "out of range" is said of faults of a known size."""
    heads = ["checkpoint", "view", "n", *(f"{size:+d} ×" if size else "0" for size in PLANTED), "+2 × of those read"]
    usual = usual_halves(rows)
    lines = [_planted("**all**", group, [row for row in rows if row.group == group], usual) for group in _groups(rows)]
    lines += [_planted(key[0], key[1], own, usual) for key, own in grouped(rows, IDS).items() if key in usual]
    return table(heads, lines)


def _planted(name: str, group: str, rows: list[Told], usual: Mapping[Key, float]) -> list[str]:
    said = [called_out(rows, size, usual) for size in PLANTED]
    read = called_out([row for row in rows if row.read], 2.0, usual)
    return [name, group, str(len(said[0]) // 2), *(f"{np.mean(own):.0%}" if own else "–" for own in [*said, read])]


def kinds(rows: Sequence[Counted]) -> str:
    """How many clips of which kind, in words."""
    return ", ".join(
        f"{count} of {kind}" if kind != "swing" else f"{count} swings"
        for kind, count in Counter(row.kind for row in rows).items()
    )
