"""What became different between two readings of a clip, for the coach who knows the former one."""

from __future__ import annotations

from typing import Any

Result = dict[str, Any]
Change = dict[str, Any]
Readings = dict[str, dict[str, Any]]
READ = ("value", "interval", "unit")
WHOLE_CLIP = -1  # in place of a swing's index: what the clip's swings say together


def changed_calls(former: Result, now: Result, moved: dict[int, int]) -> list[Change]:
    """Every checkpoint whose call is another one, swing by swing in the order of the walk.

    moved  numbers of the swings, former to today's

    A checkpoint that one of the readings does not have (the book has grown) is none that changed.
    """
    before = {moved[swing["index"]]: swing for swing in former["swings"] if swing["index"] in moved}
    return [
        _change(swing["index"], was, reading)
        for swing in now["swings"]
        for reading in swing["readings"]
        if (was := _reading(before.get(swing["index"]), reading["checkpoint"])) and was["call"] != reading["call"]
    ]


def changed_of_clip(former: Readings, now: Readings) -> list[Change]:
    """The same for what several swings of a clip say together, by checkpoint."""
    return [
        _change(WHOLE_CLIP, was, reading)
        for checkpoint, reading in now.items()
        if (was := former.get(checkpoint)) and was["call"] != reading["call"]
    ]


def _change(swing: int, was: dict[str, Any], now: dict[str, Any]) -> Change:
    read = {"was": {name: was[name] for name in READ}, "now": {name: now[name] for name in READ}}
    return {"swing": swing, "checkpoint": now["checkpoint"], "before": was["call"], "after": now["call"], **read}


def changed_swings(now: Result, moved: dict[int, int], gone: list[int], back: bool) -> dict[str, Any]:
    """The swings that are found no longer and those that are new: {} when they are the same ones."""
    new = [swing["index"] for swing in now["swings"] if swing["index"] not in moved.values()]
    return {"gone": gone, "new": new, "back": back} if gone or new or back else {}


def together(older: list[Change], newer: list[Change], moved: dict[int, int]) -> list[Change]:
    """Two lists of changes as one, for who has seen neither: from before the first to after the second."""
    moved = {**moved, WHOLE_CLIP: WHOLE_CLIP}
    held = {
        (moved[change["swing"]], change["checkpoint"]): {**change, "swing": moved[change["swing"]]}
        for change in older
        if change["swing"] in moved
    }
    for change in newer:
        key = (change["swing"], change["checkpoint"])
        first = held.get(key, change)
        held[key] = {**change, "before": first["before"], "was": first["was"]}
    return [change for change in held.values() if change["before"] != change["after"]]


def _reading(swing: dict[str, Any] | None, checkpoint: str) -> dict[str, Any] | None:
    readings = swing["readings"] if swing else []
    return next((reading for reading in readings if reading["checkpoint"] == checkpoint), None)
