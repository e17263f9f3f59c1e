"""The player's ticks: which drill was done on which day of this week."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from portal.evaluations.models import Evaluation, PracticeDay

WEEK = 7


@dataclass(frozen=True)
class Day:
    """One day of the last week, and whether the drill was done on it."""

    day: date
    is_done: bool
    is_today: bool


@dataclass(frozen=True)
class Week:
    """The days on which a drill can have been done; `asked` is on how many its set-up wants it, None where it does not say."""

    days: list[Day]
    asked: int | None

    @property
    def done(self) -> int:
        return sum(day.is_done for day in self.days)

    @property
    def words(self) -> str:
        """How far the week is: "2 of 3 days this week"."""
        if not self.asked:
            return ngettext("%(n)d day this week", "%(n)d days this week", self.done) % {"n": self.done}
        if self.done > self.asked:
            said = _("%(n)d days this week, more than the %(all)d of your plan")
        elif self.done == self.asked:
            said = ngettext(
                "%(all)d of %(all)d day this week: done!", "%(all)d of %(all)d days this week: done!", self.asked
            )
        else:
            said = ngettext("%(n)d of %(all)d day this week", "%(n)d of %(all)d days this week", self.asked)
        return said % {"n": self.done, "all": self.asked}


def last_week(today: date | None = None) -> list[date]:
    """The last seven days, today last."""
    today = today or timezone.localdate()
    return [today - timedelta(days=back) for back in range(WEEK - 1, -1, -1)]


def days_of(evaluation: Evaluation) -> list[date]:
    """The days of the last week on which its drills can have been done: none before the first edition came."""
    first = evaluation.submission.evaluations.order_by("published_at").values_list("published_at", flat=True).first()
    came = timezone.localdate(first or evaluation.published_at)
    return [day for day in last_week() if day >= came]


def weeks_of(evaluation: Evaluation) -> dict[str, Week]:
    """For each drill of the plan the last week since the evaluation came."""
    days = days_of(evaluation)
    done = set(evaluation.practice_days.filter(day__in=days).values_list("drill", "day"))
    return {
        drill["slug"]: Week(
            [Day(day, (drill["slug"], day) in done, day == days[-1]) for day in days], drill.get("days")
        )
        for drill in evaluation.snapshot.get("plan", [])
    }


def tick(evaluation: Evaluation, drill: str, day: date, is_done: bool) -> None:
    """Note or take back that the drill was done that day. Saying it twice changes nothing."""
    about: dict[str, Any] = {"evaluation": evaluation, "drill": drill, "day": day}
    if is_done:
        PracticeDay.objects.get_or_create(**about)
    else:
        PracticeDay.objects.filter(**about).delete()
