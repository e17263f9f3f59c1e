"""Who looked at what of a child, in words for its family: one line for each person and day.

The family's own looks are in the log, but nobody is shown which of them looked when.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby

from django.db.models import QuerySet
from django.utils import formats, timezone
from django.utils.text import get_text_list
from django.utils.translation import gettext as _

from portal.evaluations.models import AccessLogEntry, SeenAs, What
from portal.intake.models import Submission
from portal.people.models import Player

MOST = 500  # looks that are put into words; the log itself keeps all
ORDER = list(What)


@dataclass(frozen=True)
class Looks:
    """A person's looks of one day."""

    who: str
    seen_as: str
    what: list[str]
    first: datetime
    last: datetime

    @property
    def words(self) -> str:
        """looked at the film, the numbers and the evaluation"""
        return _("looked at %(things)s") % {"things": get_text_list(self.what, _("and"))}

    @property
    def when(self) -> str:
        """November 12, 6:40 PM to 7:52 PM; with the year when it is another."""
        this_year = self.first.year == timezone.localdate().year
        day = formats.date_format(self.first, "F j" if this_year else "F j, Y")
        first, last = (formats.time_format(at, "g:i A") for at in (self.first, self.last))
        if first == last:
            return f"{day}, {first}"
        return _("%(day)s, %(first)s to %(last)s") % {"day": day, "first": first, "last": last}


def seen_by(submission: Submission) -> list[Looks]:
    """Who but the family looked at this submission, newest first."""
    return _told(AccessLogEntry.objects.filter(submission=submission))


def seen_of(player: Player) -> list[Looks]:
    """Who but the family looked at anything of this player, newest first."""
    return _told(AccessLogEntry.objects.filter(player=player))


def _told(rows: QuerySet[AccessLogEntry]) -> list[Looks]:
    rows = rows.exclude(seen_as=SeenAs.FAMILY).select_related("user").order_by("-at")[:MOST]
    by_day = sorted(rows, key=_key, reverse=True)
    told = [_looks(list(group)) for _key_, group in groupby(by_day, key=_key)]
    return sorted(told, key=lambda looks: looks.last, reverse=True)


def _key(entry: AccessLogEntry) -> tuple[date, str, str]:
    return timezone.localtime(entry.at).date(), entry.who, entry.seen_as


def _looks(rows: list[AccessLogEntry]) -> Looks:
    moments = [timezone.localtime(row.at) for row in rows]
    return Looks(
        who=rows[0].who,
        seen_as=rows[0].get_seen_as_display(),
        what=_in_order(row.what for row in rows),
        first=min(moments),
        last=max(moments),
    )


def _in_order(kinds: Iterable[str]) -> list[str]:
    return [str(what.label) for what in sorted({What(kind) for kind in kinds}, key=ORDER.index)]
