"""How long a camp keeps things of a player: until which day, and what is there still.

Counted from the last day of the camp, or from the player's last clip in it where that came later (also where the camp has no
days), so that a follow-up is not deleted as soon as it is there.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Max
from django.db.models.functions import Coalesce
from django.utils import timezone

from portal.camps.models import Camp, Enrolment
from portal.intake.models import Submission
from portal.people.models import Player


@dataclass(frozen=True)
class Keeping:
    """What is kept of one player in one camp, and until when."""

    player: Player
    camp: Camp
    since: date
    has_film: bool

    @property
    def film_until(self) -> date:
        return months_after(self.since, self.camp.film_months)

    @property
    def pages_until(self) -> date:
        return months_after(self.since, self.camp.pages_months)


def months_after(day: date, months: int) -> date:
    """The same day so many months later, or the last of that month where it is shorter."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def all_kept(of: Iterable[Player] | None = None) -> list[Keeping]:
    """Every player (or those given) in every camp, also one taken off the roster whose clips are there."""
    sent = Submission.objects.order_by()
    enrolled = Enrolment.objects.all()
    if of is not None:
        keys = [player.pk for player in of]
        sent, enrolled = sent.filter(player__in=keys), enrolled.filter(player__in=keys)
    rows = sent.values("player", "camp").annotate(
        last=Max(Coalesce("received_at", "created_at")), films=Count("clips", distinct=True)
    )
    last = {(row["player"], row["camp"]): (row["last"], row["films"]) for row in rows}
    for place in enrolled:
        last.setdefault((place.player_id, place.camp_id), (place.created_at, 0))
    players = Player.objects.in_bulk({key[0] for key in last})
    camps = Camp.objects.in_bulk({key[1] for key in last})
    return [
        Keeping(players[one], camps[other], _since(camps[other], at), bool(clips))
        for (one, other), (at, clips) in last.items()
    ]


def _since(camp: Camp, last_sent: object) -> date:
    sent = timezone.localtime(last_sent).date()  # type: ignore[arg-type]
    end = camp.ends_on or camp.starts_on
    return max(end, sent) if end else sent
