"""A second look at a draft before it is published: what may say the opposite of what was seen.

Each doubt is a sentence that says what to do, with the place where to do it. They are never a wall: the coach outranks every
reading and can publish all the same.
"""

from __future__ import annotations

from portal.desk.doubts import drills, names, numbers, paper, places, readings
from portal.desk.doubts.doubt import Doubt
from portal.desk.doubts.draft import Draft, draft_of
from portal.desk.models import Review

__all__ = ["Doubt", "Draft", "doubts_of"]

LOOKS = (readings.doubts, drills.doubts, numbers.doubts, names.doubts, places.doubts, paper.doubts)


def doubts_of(review: Review) -> list[Doubt]:
    """What a coach should look at once more, each thing once, the most harmful first."""
    draft = draft_of(review)
    return list(dict.fromkeys(doubt for look in LOOKS for doubt in look(draft)))
