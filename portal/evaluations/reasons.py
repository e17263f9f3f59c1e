"""Why a drill stands in the plan, in plain words for the family: the one thing, what the coach said of it, or what it trains."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.utils.translation import gettext as _

from portal.desk.doubts.draft import name_of
from portal.desk.models import Assignment, Rate, Rating
from portal.drills.fitting import Fit, fit
from portal.drills.set_up import completed
from portal.measuring.door import CHECKPOINTS, Checkpoint

BY_ID = {entry.id: entry for entry in CHECKPOINTS}


def reasons(plan: Sequence[Assignment], thing: str, side: str, ratings: Mapping[str, Rating]) -> list[str]:
    """Why, for each drill of the plan in its order.

    `thing` is the one thing's checkpoint, "" where the coach wrote it freely; `side` the side of its band on which it lies.
    """
    found: list[str] = []
    balls: list[str] = []  # of the drills for the one thing so far
    for one in plan:
        drill = one.drill
        if thing in BY_ID and fit(drill, thing, side) < Fit.ELSEWHERE:
            ball = completed({**drill.set_up, **one.set_up})["ball"]
            found.append(_for_thing(BY_ID[thing], ball, balls))
            balls.append(ball)
        else:
            trained = [BY_ID[name] for name in drill.trains if name != thing and name in BY_ID]
            found.append(_rated(trained, ratings) or _trained(trained))
    return found


def _for_thing(thing: Checkpoint, ball: str, balls: Sequence[str]) -> str:
    """The first drill is simply for it; another one says what is different, where the ball is."""
    name = {"name": name_of(thing)}
    if not balls:
        return _("This one is for the one thing, “%(name)s”.") % name
    if ball in balls:
        return _("This one is for the one thing too, “%(name)s”.") % name
    said = {
        "none": _("This one is for the one thing too, “%(name)s”, now without a ball."),
        "tee": _("This one is for the one thing too, “%(name)s”, now with a ball on the tee."),
        "soft_toss": _("This one is for the one thing too, “%(name)s”, now with a ball tossed from the side."),
        "front_toss": _("This one is for the one thing too, “%(name)s”, now with a ball tossed from the front."),
    }
    return said[ball] % name


def _rated(trained: Sequence[Checkpoint], ratings: Mapping[str, Rating]) -> str:
    """What else it trains of which the coach said something: what to work on first; "" where it was none of it."""
    said = {
        Rate.WORK_ON: _("This one is for something else your coach wants to work on: “%(name)s”."),
        Rate.WATCH: _("This one is for something else your coach keeps an eye on: “%(name)s”."),
        Rate.GOOD: _("This one keeps up what is already good: “%(name)s”."),
    }
    for rate, words in said.items():
        for entry in trained:
            rating = ratings.get(entry.id)
            if rating and rating.rate == rate:
                return words % {"name": name_of(entry)}
    return ""


def _trained(trained: Sequence[Checkpoint]) -> str:
    """What the drill itself is for, where the coach chose it freely: the first that it trains, and why that matters."""
    if not trained:  # a drill that trains nothing we know, or the one thing's other side: only the coach could say more
        return _("Your coach chose this one for you.")
    first = trained[0]
    return " ".join([_("This one trains “%(name)s”.") % {"name": name_of(first)}, _(first.why)])
