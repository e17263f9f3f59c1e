"""A newer method may find other swings: what a coach said of single swings goes on with the same ones.

`numbering.py` compares two readings by one method, with all their swings. Here the former reading is what was kept: the swings
that a coach took out are known by their number alone, and lie somewhere between their neighbours.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from typing import Any

from portal.measuring.numbering import Corrections, Swings, numbers_of


@dataclass(frozen=True)
class Carried:
    """The corrections for the new reading, and what became of the swings.

    moved   former number to new one of every swing that is still there, also where it stayed the same
    gone    former numbers of swings that are found no longer
    back    whether a swing that was taken out may be there again
    """

    corrections: Corrections
    moved: dict[int, int] = field(default_factory=dict)
    gone: list[int] = field(default_factory=list)
    back: bool = False


def carried(corrections: Corrections, kept: Swings, found: Swings) -> Carried:
    """Bring `corrections` to the swings that a newer method found.

    kept    the swings of the former reading, without those taken out and with those added
    found   all swings that are found today without anything said of single ones

    A swing with instants that the coach put into it is never lost: where it is found no longer it is added by hand. One that
    was added by hand and is found today is added no more.
    """
    by_hand = list(corrections.get("add_swings") or [])
    removed = set(corrections.get("remove_swings") or [])
    count = max([swing["index"] for swing in kept] + list(removed), default=-1) + 1 - len(by_hand)
    numbers = numbers_of(kept, found)
    known = {former: new for former, new in numbers.items() if former < count}
    unknown = [swing["index"] for swing in found if swing["index"] not in numbers.values()]
    out, back = _still_out({n for n in removed if n < count}, known, unknown, len(found))
    added: Swings = []
    for former, swing in enumerate(by_hand, start=count):
        if former not in numbers:
            numbers[former] = len(found) + len(added)
            added.append(swing)
    for swing in kept:
        if swing["index"] not in numbers and _has_instants(corrections, swing["index"]):
            numbers[swing["index"]] = len(found) + len(added)
            added.append({"start_frame": swing["start_frame"], "end_frame": swing["end_frame"]})
    out |= {numbers[n] for n in removed if n >= count}
    moved = {swing["index"]: numbers[swing["index"]] for swing in kept if swing["index"] in numbers}
    gone = [swing["index"] for swing in kept if swing["index"] not in numbers]
    return Carried(_rewritten(corrections, numbers, out, added), moved, gone, back)


def _still_out(removed: set[int], numbers: dict[int, int], unknown: list[int], count: int) -> tuple[set[int], bool]:
    """Which of the `unknown` swings found today (of `count`) were taken out, and whether one of those may be back.

    Between two swings that are still there lay some that were taken out. As many or fewer found there today are those; of
    more nobody can say which, and so the coach sees them all.
    """
    known = sorted(numbers.items())
    ends = [(-1, -1), *known, (max([*removed, *numbers], default=0) + 1, count)]
    out: set[int] = set()
    back = False
    for (before, low), (after, high) in itertools.pairwise(ends):
        here = [n for n in removed if before < n < after]
        there = [n for n in unknown if low < n < high]
        if here and len(there) <= len(here):
            out |= set(there)
        back |= bool(here) and len(there) > len(here)
    return out, back


def _has_instants(corrections: Corrections, index: int) -> bool:
    put: dict[str, Any] = (corrections.get("instants") or {}).get(str(index)) or {}
    return any(frame is not None for frame in put.values())


def _rewritten(corrections: Corrections, numbers: dict[int, int], out: set[int], added: Swings) -> Corrections:
    written = dict(corrections)
    if "remove_swings" in corrections:
        written["remove_swings"] = sorted(out)
    if added or "add_swings" in corrections:
        written["add_swings"] = added
    if corrections.get("instants"):
        written["instants"] = {
            str(numbers[int(index)]): put for index, put in corrections["instants"].items() if int(index) in numbers
        }
    return written
