"""What was measured and what the coach says, told to a family in whole sentences: the two may differ, and the page says so."""

from __future__ import annotations

import re
from typing import Any

from django.utils.translation import gettext as _

from portal.desk.models import Rate
from portal.look.words import CALL_SHAPES
from portal.measuring.door import IN_RANGE, OUT_OF_RANGE, Checkpoint

IN, OUT = CALL_SHAPES[IN_RANGE], CALL_SHAPES[OUT_OF_RANGE]
# What reading asks of a coach at the desk, behind why something could not be read.
_FOR_COACH = re.compile(r"; (?:move|drag) [^.;]*| (?:Confirm|Set) the film speed[^.]*\.")
# From ahead and from behind balls and bats fly toward the phone: nobody is sent there without the coach.
_IN_THE_LINE = re.compile(r"; film from [^.;]*(?:catcher|pitcher)[^.;]*")
AGREED = {(IN, Rate.GOOD), (OUT, Rate.WORK_ON), ("eye", Rate.GOOD), ("eye", Rate.WORK_ON)}


def sentence_of(entry: Checkpoint, rate: str, side: str) -> str:
    """The book's sentence for a rating, where the coach wrote none: what is good, or what to do on this side of the band."""
    sentences: dict[str, str] = {Rate.GOOD: entry.good_words, Rate.WORK_ON: entry.words_for(side)}
    sentence = sentences.get(rate, "")
    return _(sentence) if sentence else ""


def reason_for_family(reason: str) -> str:
    """Why something could not be read, without what only a coach can do about it.

    >>> reason_for_family("The bat was not seen in this swing; drag its two ends on the frame to read its angle.")
    'The bat was not seen in this swing.'
    """
    asks = _("; your coach says whether and how to film it from elsewhere")
    return _IN_THE_LINE.sub(asks, _FOR_COACH.sub("", reason))


def measured_words(point: dict[str, Any]) -> str:
    """What the film says of a checkpoint, and the coach where that is something else: no call stands alone beside a rating
    that a family would read as its opposite.
    """
    shape = CALL_SHAPES.get(point["call"], "unread")
    side = point.get("side")  # in editions from before it was kept there is none
    film = {
        IN: _("Measured in range."),
        OUT: _("Measured out of range: %(side)s.") % {"side": side} if side else _("Measured out of range."),
        "close": _("So close to the edge of the green block that the film alone cannot tell."),
        "unread": _("This film does not show it well enough to measure."),
        "eye": _("Seen by your coach’s eye; nothing is measured here."),
    }[shape]
    coach = {
        Rate.GOOD: _("Your coach looked at it and says it is good."),
        Rate.WATCH: _("Your coach keeps an eye on it."),
        Rate.WORK_ON: _("Your coach looked at it and wants to work on it."),
    }
    rating = point["rating"]
    if not rating or (shape, rating) in AGREED:
        return film
    return f"{film} {coach[Rate(rating)]}"
