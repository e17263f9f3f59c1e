"""Swings keep what a coach said of them when the reading finds others than before.

Corrections name a swing by its index. Another hand, another film speed or a moved keypoint can make the reading find
more, fewer or other swings, and the indices move; here they are carried over to the swings at the same frames.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Corrections = dict[str, Any]
Swings = list[dict[str, Any]]

NAMES_SWINGS = ("instants", "remove_swings", "add_swings")


def stands(before: Corrections, swings: Swings, wanted: Corrections, now: Swings) -> bool:
    """Whether every number still means the swing it meant: `swings` were read with `before`, `now` with `wanted`."""
    if without_swings(before) == without_swings(wanted):
        return True  # swings were only taken out, put back or added: their numbers are made for that
    former = {swing["index"]: swing for swing in swings}
    later = {swing["index"]: swing for swing in now}
    return former.keys() == later.keys() and all(_shared(former[n], later[n]) > 0 for n in former)


def renumbered(
    before: Corrections, wanted: Corrections, read: Callable[[Corrections], Swings]
) -> tuple[Corrections, dict[int, int]]:
    """`wanted` with every swing's number brought up to date, and the numbers that moved, former to new.

    read  gives the swings that a clip has with some corrections

    An instant put into a swing that is found no longer goes with it, and so does its being taken out.
    """
    former, now = read(without_swings(before)), read(without_swings(wanted))
    added = len(wanted.get("add_swings") or [])
    numbers = numbers_of(former, now) | {len(former) + n: len(now) + n for n in range(added)}
    moved = {former: new for former, new in numbers.items() if former != new}
    carried = dict(wanted)
    if wanted.get("remove_swings"):
        carried["remove_swings"] = [numbers[index] for index in wanted["remove_swings"] if index in numbers]
    if wanted.get("instants"):
        carried["instants"] = {
            str(numbers[int(index)]): put for index, put in wanted["instants"].items() if int(index) in numbers
        }
    return carried, moved


def without_swings(corrections: Corrections) -> Corrections:
    """The corrections without what is said of single swings: every swing that is found."""
    return {name: value for name, value in corrections.items() if name not in NAMES_SWINGS}


def numbers_of(former: Swings, now: Swings) -> dict[int, int]:
    """Former index to new one: each swing goes to the one it shares most frames with."""
    numbers: dict[int, int] = {}
    pairs = [(_shared(one, other), one["index"], other["index"]) for one in former for other in now]
    for shared, one, other in sorted(pairs, reverse=True):
        if shared > 0 and one not in numbers and other not in numbers.values():
            numbers[one] = other
    return numbers


def _shared(one: dict[str, Any], other: dict[str, Any]) -> int:
    """How many frames lie in both."""
    return int(min(one["end_frame"], other["end_frame"]) - max(one["start_frame"], other["start_frame"]) + 1)
