"""The practice plan against the one thing."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _

from portal.desk.doubts.doubt import PLAN, Doubt, at_drill
from portal.desk.doubts.draft import Draft, name_of
from portal.desk.models import Assignment
from portal.drills.fitting import Fit, fit
from portal.measuring.door import Checkpoint


def doubts(draft: Draft) -> Iterator[Doubt]:
    thing = draft.thing
    if thing is None:
        return
    fits = {one: fit(one.drill, thing.id, draft.side) for one in draft.assignments}
    for one, how in fits.items():
        if how == Fit.OTHER_SIDE:
            yield _other_side(one, thing, draft.side)
        elif how == Fit.ELSEWHERE and not one.words.strip():
            yield _elsewhere(one)
    if not any(how < Fit.ELSEWHERE for how in fits.values()):
        said = _("No drill of the plan trains the one thing, “%(name)s”. Add one that does.")
        yield Doubt(said % {"name": name_of(thing)}, PLAN)


def _other_side(one: Assignment, thing: Checkpoint, side: str) -> Doubt:
    against = one.drill.against[thing.id]
    said = _(
        "“%(title)s” helps when “%(name)s” is “%(against)s”, and here it is “%(side)s”. Take the drill out, and choose one for "
        "this side."
    )
    about = {"title": one.drill.title, "name": name_of(thing)}
    sides = {"against": _(thing.side_words(against)), "side": _(thing.side_words(side))}
    return Doubt(said % {**about, **sides}, at_drill(one.drill.slug))


def _elsewhere(one: Assignment) -> Doubt:
    said = _("“%(title)s” does not train the one thing. Take it out, or say in a word of yours why it is there.")
    return Doubt(said % {"title": one.drill.title}, at_drill(one.drill.slug))
