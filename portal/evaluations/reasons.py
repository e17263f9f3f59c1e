"""Why a drill stands in the plan, in a sentence for the family: the one thing, or something else that the coach looked at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.utils.translation import gettext as _

from portal.desk.doubts.draft import name_of
from portal.desk.models import Rate, Rating
from portal.drills.fitting import Fit, fit
from portal.drills.models import Drill
from portal.measuring.door import CHECKPOINTS

BY_ID = {entry.id: entry for entry in CHECKPOINTS}


def reasons(drills: Sequence[Drill], thing: str, side: str, ratings: Mapping[str, Rating]) -> list[str]:
    """A sentence for each drill of the plan, in its order; "" where only the coach could say it (the desk asks for words then).

    `thing` is the one thing's checkpoint, "" where the coach wrote it freely; `side` the side of its band on which it lies.
    """
    found, is_first = [], True
    for drill in drills:
        for_thing = bool(thing) and fit(drill, thing, side) < Fit.ELSEWHERE
        if for_thing:
            found.append(
                _("This one is for the one thing.") if is_first else _("For the one thing too, in another way.")
            )
            is_first = False
        else:
            found.append(_beside(drill, thing, ratings))
    return found


def _beside(drill: Drill, thing: str, ratings: Mapping[str, Rating]) -> str:
    """What else it trains that the coach wants to work on, or keeps an eye on."""
    said = {
        Rate.WORK_ON: _("This one is for something else your coach wants to work on: “%(name)s”."),
        Rate.WATCH: _("This one is for something else your coach keeps an eye on: “%(name)s”."),
    }
    for rate, words in said.items():
        for checkpoint in drill.trains:
            rating = ratings.get(checkpoint)
            if checkpoint != thing and rating and rating.rate == rate and checkpoint in BY_ID:
                return words % {"name": name_of(BY_ID[checkpoint])}
    return ""
