"""Words and ratings against clear calls."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _

from portal.desk.doubts.doubt import GOOD, HEADLINE, THING, Doubt, at_checkpoint
from portal.desk.doubts.draft import Draft, name_of
from portal.desk.models import Rate
from portal.look.words import measured, wanted_words
from portal.measuring.door import CHECKPOINTS, Checkpoint, in_range


def doubts(draft: Draft) -> Iterator[Doubt]:
    if not any(sentence.strip() for sentence in draft.review.good):
        yield Doubt(_("Nothing good is said yet. Name one thing that the player does well."), GOOD)
    yield from _thing(draft)
    for entry in CHECKPOINTS:
        yield from _rating(draft, entry)
        yield from _praise(draft, entry)


def _thing(draft: Draft) -> Iterator[Doubt]:
    """The one thing argues against its own number, or its words against the side on which it lies."""
    thing = draft.thing
    if thing is None:
        return
    if in_range(draft.readings.get(thing.id)):
        said = _(
            "The one thing, “%(name)s”, was measured in range (%(number)s). Choose another one thing, or say in its words what "
            "you see beyond the number."
        )
        yield Doubt(said % _about(draft, thing), THING)
    side = draft.missed(thing.id)
    if side and draft.sides_said and side not in draft.sides_said:
        said = _(
            "The words of the one thing help against “%(said)s”, and “%(name)s” was measured as “%(side)s” (%(number)s). Turn "
            "the words round, or check the frame."
        )
        about = {"said": _(thing.side_words(draft.sides_said[0])), "side": _(thing.side_words(side))}
        yield Doubt(said % {**about, **_about(draft, thing)}, THING)
    if draft.review.thing_title.strip().lower() in (_(thing.name).lower(), name_of(thing).lower()):
        said = _(
            "The headline of the one thing, “%(name)s”, only names what you looked at. Say in it what the player is to change."
        )
        yield Doubt(said % {"name": draft.review.thing_title.strip()}, HEADLINE)


def _rating(draft: Draft, entry: Checkpoint) -> Iterator[Doubt]:
    rating = draft.ratings.get(entry.id)
    if rating is None:
        return
    place = at_checkpoint(entry.id, entry.instant)
    if rating.clip_id not in (None, draft.review.clip_id):
        said = _(
            "What you said of “%(name)s” was about another clip, and the number beside it is this clip’s. Look once more."
        )
        yield Doubt(said % {"name": name_of(entry)}, place)
    if rating.rate == Rate.GOOD and (side := draft.missed(entry.id)):
        said = _(
            "You rated “%(name)s” good, and it was measured out of range: %(side)s (%(number)s). Check the frame, then keep "
            "your rating or change it."
        )
        yield Doubt(said % {**_about(draft, entry), "side": _(entry.side_words(side))}, place)
    is_thing = draft.thing is not None and draft.thing.id == entry.id
    if rating.rate == Rate.WORK_ON and not is_thing and in_range(draft.readings.get(entry.id)):
        said = _(
            "You rated “%(name)s” work on, and it was measured in range (%(number)s). Check the frame, then keep your rating "
            "or change it."
        )
        yield Doubt(said % _about(draft, entry), place)


def _praise(draft: Draft, entry: Checkpoint) -> Iterator[Doubt]:
    """The book's praise of what is to be worked on."""
    rating = draft.ratings.get(entry.id)
    is_work = rating is not None and rating.rate == Rate.WORK_ON
    if is_work and _(entry.good_words) in draft.review.good:
        said = _("“%(words)s” praises what you rated work on. Take the sentence out, or change the rating.")
        yield Doubt(said % {"words": _(entry.good_words)}, GOOD)


def _about(draft: Draft, entry: Checkpoint) -> dict[str, str]:
    """Its name, and its number with the band: "30°, wanted: at most 45°"."""
    reading = draft.readings[entry.id]
    number = measured(reading["value"], reading["interval"], reading["unit"], reading["band"])
    return {"name": name_of(entry), "number": f"{number}, {wanted_words(reading['band'], reading['unit'])}"}
