"""A snapshot made ready for a template: where its pictures lie, which numbers come first. Adds nothing of its own."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from portal.desk.headline import without_headline
from portal.evaluations.telling import reason_for_family

LACKING: dict[str, Any] = {
    "edition": 1,
    "language": "en",
    "coach": "",
    "camp": "",
    "film": {},
    "greeting": "",
    "good": [],
    "thing": None,
    "closing": "",
    "pictures": [],
    "points": [],
    "plan": [],
}


def present(snapshot: dict[str, Any], address: Callable[[str], str] | None = None) -> dict[str, Any]:
    """A copy of the snapshot for the template.

    `address` gives the address of a picture file; without it each picture keeps the `src` that it carries (a preview).
    Added: `pictures_of_thing` and `more_pictures`; `told` (points of which the coach said something), `numbers` (the rest that was
    read) and `unread`; `cautions` of the whole plan, each once; `published_on` as a date.
    """
    content = {**copy.deepcopy(LACKING), **copy.deepcopy(snapshot)}
    for picture in content["pictures"]:
        if address is not None:
            picture["src"] = address(picture["file"])
        if picture.get("marks", 1) < 2:  # then body and lines were drawn in one blue
            picture["tones"] = ["old-seen" if tone == "seen" else tone for tone in picture.get("tones", [])]
    if content.get("published_on"):
        content["published_on"] = date.fromisoformat(content["published_on"])
    if content["thing"]:
        content["thing"]["words"] = without_headline(content["thing"]["title"], content["thing"]["words"])
    for point in content["points"]:
        # A sign alone tells a family little: beside "out of range" stands what it is too much of.
        point["reason"] = point.get("side") or reason_for_family(point.get("reason", ""))
    content["pictures_of_thing"] = [p for p in content["pictures"] if p["for_thing"]]
    content["more_pictures"] = [p for p in content["pictures"] if not p["for_thing"]]
    rest = [p for p in content["points"] if not _is_told(p)]
    content["told"] = sorted((p for p in content["points"] if _is_told(p)), key=_worst_first)
    content["numbers"] = [p for p in rest if p["value"] is not None]
    content["unread"] = [p for p in rest if p["value"] is None and p["call"] == "not readable"]
    content["cautions"] = _each_once(caution for drill in content["plan"] for caution in drill["cautions"])
    return content


def _is_told(point: dict[str, Any]) -> bool:
    return bool(point["rating"] or point["words"] or point["thing"])


def _each_once(cautions: Iterable[str]) -> list[str]:
    """Each caution once, where it comes up first."""
    return list(dict.fromkeys(cautions))


def _worst_first(point: dict[str, Any]) -> int:
    """The one thing first, then what to work on, to watch, and what is good; within each the order of the walk."""
    return -1 if point["thing"] else ["work_on", "watch", "good", ""].index(point["rating"])
