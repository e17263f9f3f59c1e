"""Which swings of a clip count, and the clip's readings made of them.

Ratings, the one thing and words belong to the clip as a whole. So do the numbers beside them: each is the median over the swings that
count. One swing is shown, for the film and its stills, and no number stands beside the coach's words that is that swing's alone.

Every swing that reaches contact counts until the coach leaves it out (where none reaches contact, all do). What the coach said is
kept with the review by clip and by the swing's own index: {"<clip>": {"<index>": counts}}.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from portal.desk.models import Review
from portal.desk.swings import Swing, result_of, swing_of
from portal.measuring import door

Result = dict[str, Any]
Readings = dict[str, dict[str, Any]]
Said = dict[str, bool]


def said_of(review: Review, clip_id: UUID | None = None) -> Said:
    """What the coach said of the swings of a clip, by index; of the clip on the desk unless another is named."""
    return dict(review.counting.get(str(clip_id or review.clip_id), {}))


def count_of(result: Result, said: Said) -> list[Swing]:
    """The swings that count, in order; never none where there is one."""
    swings: list[Swing] = result.get("swings", [])
    return [swing for swing in swings if _counts(swing, swings, said)] or _usual(swings)


def _usual(swings: list[Swing]) -> list[Swing]:
    return [swing for swing in swings if swing.get("reaches_contact")] or swings


def _counts(swing: Swing, swings: list[Swing], said: Said) -> bool:
    return said.get(str(swing["index"]), swing in _usual(swings))


def counted(review: Review) -> list[Swing]:
    return count_of(result_of(review.clip), said_of(review))


def readings_of(review: Review) -> Readings:
    """By checkpoint, the reading of the clip on the desk."""
    return clip_readings(result_of(review.clip), said_of(review), (swing_of(review) or {}).get("index"))


def clip_readings(result: Result, said: Said, shown: int | None = None) -> Readings:
    """By checkpoint, the median over the swings that count; of one swing its own reading.

    Where the clip has several swings, `each` holds {"swing", "value", "counts"} of every one in which it was read. What none of
    them shows is told by the swing that is `shown`, if it counts.
    """
    swings: list[Swing] = result.get("swings", [])
    chosen = count_of(result, said)
    first = sorted(chosen, key=lambda swing: swing["index"] != shown)
    counts = {swing["index"] for swing in chosen}
    readings: Readings = {}
    for checkpoint in _checkpoints(first):
        own = [(swing["index"], reading) for swing in swings if (reading := _reading(swing, checkpoint))]
        told = sorted((pair for pair in own if pair[0] in counts), key=lambda pair: pair[0] != shown)
        reading = door.of_several([reading for _index, reading in told], result.get("film", {}).get("view", "unknown"))
        if len(swings) > 1:
            each = [
                {"swing": index, "value": one["value"], "counts": index in counts}
                for index, one in own
                if one["value"] is not None
            ]
            reading = {**reading, "each": each}
        readings[checkpoint] = reading
    return readings


def _checkpoints(swings: list[Swing]) -> list[str]:
    return list(dict.fromkeys(reading["checkpoint"] for swing in swings for reading in swing["readings"]))


def _reading(swing: Swing, checkpoint: str) -> dict[str, Any] | None:
    return next((reading for reading in swing["readings"] if reading["checkpoint"] == checkpoint), None)


class LastOne(Exception):
    """The last swing that counts cannot be left out."""


def let_count(clip_id: UUID, index: int, counts: bool) -> Callable[[Review], None]:
    """A change of the draft (see drafts.py): this swing counts, or is left out.

    Raises LastOne, with words for the coach, where none would be left.
    """

    def make(review: Review) -> None:
        clip = review.submission.clips.select_related("measurement").get(pk=clip_id)
        review.refresh_from_db(fields=["counting"])
        said = {**said_of(review, clip_id), str(index): counts}
        swings = result_of(clip).get("swings", [])
        if not any(_counts(swing, swings, said) for swing in swings):
            raise LastOne(_("One swing has to count. Take another one back first."))
        review.counting = {**review.counting, str(clip_id): said}
        review.save(update_fields=["counting"])

    return make


def renumber(clip_id: UUID, moved: dict[int, int], gone: Collection[int] = ()) -> None:
    """Swings got other numbers, former to new: what was said of them goes on with them, and with those that are gone it goes."""
    for review in Review.objects.filter(submission__clips=clip_id).exclude(counting={}):
        said = said_of(review, clip_id)
        left = {n: counts for n, counts in said.items() if int(n) not in {*moved, *moved.values(), *gone}}
        kept = left | {str(moved[int(n)]): counts for n, counts in said.items() if int(n) in moved}
        if kept != said:  # no change of the draft: an open window goes on where it was
            Review.objects.filter(pk=review.pk).update(counting={**review.counting, str(clip_id): kept})


def choices(review: Review) -> list[dict[str, Any]]:
    """Every swing of the clip, for the row in which the coach says which count; nothing where there is one swing."""
    swings = result_of(review.clip).get("swings", [])
    chosen, shown = counted(review), swing_of(review)
    rows = [
        {"index": one["index"], "number": one["index"] + 1, "counts": one in chosen, "is_shown": one == shown}
        for one in swings
    ]
    return rows if len(rows) > 1 else []
