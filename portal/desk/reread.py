"""What a coach is told when a film was read again under their draft, and by what it was read."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.utils import formats, timezone
from django.utils.text import get_text_list
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from portal.desk.models import Review
from portal.desk.swings import swing_of
from portal.look.words import measured, sign_of
from portal.measuring import rereading
from portal.measuring.differences import WHOLE_CLIP
from portal.measuring.door import CHECKPOINTS, INSTANT_NAMES
from portal.measuring.models import Measurement, Reread

BY_ID = {entry.id: entry for entry in CHECKPOINTS}
ORDER = list(BY_ID)


@dataclass(frozen=True)
class Line:
    """One checkpoint whose call is another one now. `rating` is what the coach had said of it."""

    name: str
    instant: str
    before: str
    after: str
    was: str
    now: str
    rating: str


@dataclass(frozen=True)
class Told:
    """That the film was read again at `at`, and what became different in the numbers beside the draft."""

    at: datetime
    why: str
    lines: list[Line]
    swings: list[str] = field(default_factory=list)
    elsewhere: str = ""

    @property
    def stamp(self) -> str:
        """Which news this is: who has seen it has not seen the next."""
        return self.at.isoformat()

    @property
    def is_to_be_seen(self) -> bool:
        """Whether something changed that a coach has to know before publishing."""
        return bool(self.lines or self.swings)


def told(review: Review) -> Told | None:
    """What the coach of this draft has not seen yet of the film on the desk."""
    news = rereading.unseen(review.clip)
    if news is None:
        return None
    swing = swing_of(review)
    seen_here = {swing["index"], WHOLE_CLIP} if swing else set()
    here = [change for change in news.calls if change["swing"] in seen_here]
    others = len(news.calls) - len(here)
    elsewhere = ngettext("One more in another swing.", "%(n)d more in other swings.", others) % {"n": others}
    return Told(news.at, _why(news.why), _lines(here, review), _swings(news.swings), elsewhere if others else "")


def seen(review: Review, stamp: str) -> None:
    """The coach has seen this news; a newer one stays."""
    news = Reread.objects.filter(measurement__clip=review.clip_id).first()
    if news and news.at.isoformat() == stamp:
        Reread.objects.filter(pk=news.pk, at=news.at).delete()


def _why(why: list[str]) -> str:
    words = {
        "method": _("measuring got better"),
        "book": _("the book of checkpoints changed"),
        "bands": _("the camp’s own bands were changed"),
    }
    return get_text_list([words[word] for word in why if word in words], _("and"))


def _lines(changes: list[dict[str, Any]], review: Review) -> list[Line]:
    """What the coach has rated comes first; within it the order of the walk."""
    ratings = {rating.checkpoint: rating.rate for rating in review.ratings.all()}
    known = [change for change in changes if change["checkpoint"] in BY_ID]
    known.sort(key=lambda change: (change["checkpoint"] not in ratings, ORDER.index(change["checkpoint"])))
    return [_line(change, ratings.get(change["checkpoint"], "")) for change in known]


def _line(change: dict[str, Any], rating: str) -> Line:
    entry = BY_ID[change["checkpoint"]]
    was, now = (
        measured(read["value"], read["interval"], sign_of(read["unit"])) for read in (change["was"], change["now"])
    )
    instant = _(INSTANT_NAMES[entry.instant])
    return Line(_(entry.name), instant, change["before"], change["after"], was, now, rating)


def _swings(swings: dict[str, Any]) -> list[str]:
    words = []
    if count := len(swings.get("gone", [])):
        words.append(
            ngettext(
                "A swing that was found before is found no longer.",
                "%(n)d swings that were found before are found no longer.",
                count,
            )
            % {"n": count}
        )
    if count := len(swings.get("new", [])):
        words.append(
            ngettext(
                "A swing was found that was not known before.",
                "%(n)d swings were found that were not known before.",
                count,
            )
            % {"n": count}
        )
    if swings.get("back"):
        words.append(_("A swing that you took out may be there again: please look."))
    return words


def read_words(measurement: Measurement | None) -> str:
    """By which method and book a film was read and when, and why it stays so where it can't be read again."""
    if measurement is None or not measurement.is_measured:
        return ""
    by = {"method": measurement.read_method, "book": measurement.read_book}
    said = _("Read by method %(method)d with book %(book)d of the checkpoints") % by
    if not measurement.read_method:
        said = _("Read by a method from before its number was kept")
    if measurement.read_at:
        said += ", " + formats.date_format(timezone.localtime(measurement.read_at), "F j, Y")
    retry = getattr(measurement, "retry", None)
    if retry and retry.trouble:
        said += ". " + _("A newer method can’t read it: %(why)s") % {"why": retry.get_trouble_display()}
    return said + "."
