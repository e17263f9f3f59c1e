"""The player's ticks: which drill was done on which day of this week."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from portal.evaluations.models import Evaluation, PracticeDay

WEEK = 7


@dataclass(frozen=True)
class Day:
    """One day of the last week, and whether the drill was done on it."""

    day: date
    is_done: bool
    is_today: bool


def last_week(today: date | None = None) -> list[date]:
    """The last seven days, today last."""
    today = today or timezone.localdate()
    return [today - timedelta(days=back) for back in range(WEEK - 1, -1, -1)]


def days_of(evaluation: Evaluation) -> list[date]:
    """The days of the last week on which its drills can have been done: none before the first edition came."""
    first = evaluation.submission.evaluations.order_by("published_at").values_list("published_at", flat=True).first()
    came = timezone.localdate(first or evaluation.published_at)
    return [day for day in last_week() if day >= came]


def weeks_of(evaluation: Evaluation) -> dict[str, list[Day]]:
    """For each drill of the plan the days of the last week since the evaluation came."""
    days = days_of(evaluation)
    done = set(evaluation.practice_days.filter(day__in=days).values_list("drill", "day"))
    slugs = [drill["slug"] for drill in evaluation.snapshot.get("plan", [])]
    return {slug: [Day(day, (slug, day) in done, day == days[-1]) for day in days] for slug in slugs}


def tick(evaluation: Evaluation, drill: str, day: date, is_done: bool) -> None:
    """Note or take back that the drill was done that day. Saying it twice changes nothing."""
    about: dict[str, Any] = {"evaluation": evaluation, "drill": drill, "day": day}
    if is_done:
        PracticeDay.objects.get_or_create(**about)
    else:
        PracticeDay.objects.filter(**about).delete()
