"""A draft as the second look reads it: what was read, what the coach said, and every passage that a family will read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _

from portal.desk.counting import readings_of
from portal.desk.doubts.doubt import GOOD, THING, Place, at_checkpoint, at_drill
from portal.desk.models import Assignment, MarkUp, Rating, Review
from portal.desk.stops import PREVIEW, STOPS
from portal.measuring.door import CHECKPOINTS, INSTANT_NAMES, Checkpoint, missed, side_meant

BY_ID = {entry.id: entry for entry in CHECKPOINTS}
NAMES = Counter(entry.name for entry in CHECKPOINTS)


def name_of(entry: Checkpoint) -> str:
    """Its name, with the instant where another checkpoint has the same."""
    if NAMES[entry.name] == 1:
        return _(entry.name)
    return _("%(name)s at %(instant)s") % {"name": _(entry.name), "instant": _(INSTANT_NAMES[entry.instant]).lower()}


@dataclass(frozen=True)
class Passage:
    """Words of the coach. `where` names them in a sentence; `about` is the checkpoint that they stand with, or ""."""

    text: str
    where: str
    place: Place
    about: str = ""


@dataclass(frozen=True)
class Draft:
    review: Review
    readings: dict[str, dict[str, Any]]
    ratings: dict[str, Rating]
    assignments: list[Assignment]
    markups: list[MarkUp]

    @property
    def thing(self) -> Checkpoint | None:
        """The checkpoint of the one thing; none where the coach wrote it freely."""
        return BY_ID.get(self.review.thing_checkpoint)

    @cached_property
    def side(self) -> str:
        """On which side of its band the one thing lies; where it may be either, the one whose words the coach took."""
        thing = self.thing
        if thing is None:
            return ""
        said = self.sides_said[0] if len(self.sides_said) == 1 else ""
        reading = self.readings.get(thing.id)
        return (side_meant(reading) if reading else "") or said

    @cached_property
    def sides_said(self) -> list[str]:
        """The sides of the band against which the one thing's words say what to do, in the book's own sentences."""
        thing = self.thing
        if thing is None or thing.by_eye:
            return []
        return [side for side in ("low", "high") if _(thing.words_for(side)) in self.review.thing_words]

    def missed(self, checkpoint: str) -> str:
        """The side on which it surely lies: "low", "high" or ""."""
        reading = self.readings.get(checkpoint)
        return missed(reading) if reading else ""

    @cached_property
    def passages(self) -> list[Passage]:
        return [passage for passage in self._passages() if passage.text.strip()]

    def _passages(self) -> Iterator[Passage]:
        review = self.review
        yield Passage(review.greeting, _("the greeting"), Place(PREVIEW, "greeting"))
        for sentence in review.good:
            yield Passage(sentence, _("what is already good"), GOOD)
        thing = f"{review.thing_title}\n{review.thing_words}"
        yield Passage(thing, _("the one thing"), THING, review.thing_checkpoint)
        yield Passage(review.closing, _("the closing words"), Place(PREVIEW, "closing"))
        for entry in CHECKPOINTS:
            if rating := self.ratings.get(entry.id):
                where = _("your words on “%(name)s”") % {"name": name_of(entry)}
                yield Passage(rating.words, where, at_checkpoint(entry.id, entry.instant), entry.id)
        for one in self.assignments:
            where = _("the drill “%(title)s”") % {"title": one.drill.title}
            yield Passage(f"{one.words}\n{one.goal}", where, at_drill(one.drill.slug))
        for markup in self.markups:
            words = [markup.caption, *(shape.get("text", "") for shape in markup.shapes)]
            is_here = markup.clip_id == review.clip_id
            place = Place(markup.instant or STOPS[0], "caption", markup.frame) if is_here else Place(PREVIEW)
            yield Passage("\n".join(words), _("the picture of frame %(frame)d") % {"frame": markup.frame}, place)


def draft_of(review: Review) -> Draft:
    return Draft(
        review=review,
        readings=readings_of(review),
        ratings={rating.checkpoint: rating for rating in review.ratings.all()},
        assignments=list(review.assignments.select_related("drill")),
        markups=[markup for markup in review.markups.all() if markup.in_evaluation],
    )
