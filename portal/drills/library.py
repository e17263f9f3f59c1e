"""The drills that Cagenote ships, in our own words. `load()` puts them into the database and keeps them up to date."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from portal.drills.library_body import BODY
from portal.drills.library_stride import STRIDE
from portal.drills.library_swing import SWING
from portal.drills.models import Drill
from portal.drills.set_up import completed


def shipped() -> Iterator[dict[str, Any]]:
    """Every shipped drill as the fields of `Drill`, its set-up complete."""
    for entry in (*STRIDE, *BODY, *SWING):
        yield {"cautions": [], **entry, "set_up": completed(entry["set_up"])}


def load() -> tuple[int, int]:
    """Make or update the shipped drills; returns how many were new and how many were there.

    A coach's own drill keeps its slug and its words: where one stands under the slug of a shipped drill, it wins.
    """
    new = old = 0
    for entry in shipped():
        theirs = Drill.objects.filter(slug=entry["slug"], author__isnull=False).exists()
        if theirs:
            continue
        fields = {name: value for name, value in entry.items() if name != "slug"}
        _drill, made = Drill.objects.update_or_create(slug=entry["slug"], defaults=fields)
        new, old = new + made, old + (not made)
    return new, old
