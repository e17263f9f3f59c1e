"""The coach's queue as a work list: who waits longest, until when, what the film is like, who is at it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, F, Q, QuerySet
from django.urls import reverse
from django.utils import formats, timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.door import VIEW_NAMES
from portal.people.models import User

# The lists a coach works with, in the order of their work: name in the address, words, states.
LISTS: dict[str, tuple[Any, tuple[State, ...]]] = {
    "waiting": (gettext_lazy("waiting for you"), (State.READY, State.IN_REVIEW, State.UNREADABLE)),
    "measuring": (gettext_lazy("being measured"), (State.RECEIVED, State.MEASURING, State.UPLOADING)),
    "film_again": (gettext_lazy("film again"), (State.FILM_AGAIN,)),
    "published": (gettext_lazy("published"), (State.PUBLISHED,)),
}
REVIEWABLE = (State.READY, State.IN_REVIEW, State.UNREADABLE, State.FILM_AGAIN, State.PUBLISHED)


@dataclass(frozen=True)
class Line:
    """One line of the list; every word on it is ready to be read."""

    submission: Submission
    due: str
    late: str
    film: str
    problems: list[str]
    poster: str
    is_reviewable: bool
    held_by: User | None
    is_mine: bool


def counts(seen: QuerySet[Submission]) -> dict[str, int]:
    """How many submissions each list holds."""
    by_state = dict(seen.order_by().values_list("state").annotate(n=Count("pk")))
    return {name: sum(by_state.get(state, 0) for state in states) for name, (_words, states) in LISTS.items()}


def waiting_order(seen: QuerySet[Submission], name: str) -> QuerySet[Submission]:
    """One list, who waits longest first; what is published, newest first."""
    kept = seen.filter(state__in=LISTS[name][1]).select_related("player", "camp", "reviewer")
    kept = kept.prefetch_related("clips__measurement")
    if name == "published":
        return kept.order_by("-state_since")
    return kept.order_by(F("promised_by").asc(nulls_last=True), F("received_at").asc(nulls_last=True), "created_at")


def first_open(seen: QuerySet[Submission], user: User, today: date) -> Line | None:
    """Who waits longest of those that this coach can take to the desk now."""
    free = seen.filter(Q(state=State.READY) | Q(state=State.IN_REVIEW, reviewer=user))
    lines = (line(submission, user, today) for submission in waiting_order(free, "waiting")[:5])
    return next((one for one in lines if one.is_reviewable), None)


def line(submission: Submission, user: User, today: date | None = None) -> Line:
    today = today or timezone.localdate()
    clips = list(submission.clips.all())
    measured = next((clip for clip in reversed(clips) if _result(clip)), None)
    is_open = submission.state not in (State.PUBLISHED, State.WITHDRAWN)
    return Line(
        submission=submission,
        due=due_words(submission.promised_by, today) if is_open else _since_words(submission),
        late=late_words(submission.promised_by, today) if is_open else "",
        film=film_words(_result(measured), len(clips)) if measured else "",
        problems=problem_words(clips, measured),
        poster=reverse("clip_file", args=[measured.pk, "poster.jpg"]) if measured else "",
        is_reviewable=submission.state in REVIEWABLE and measured is not None,
        held_by=submission.reviewer if submission.state == State.IN_REVIEW else None,
        is_mine=submission.state == State.IN_REVIEW and submission.reviewer_id == user.pk,
    )


def due_words(due: date | None, today: date) -> str:
    """The promised day as one says it."""
    if due is None:
        return _("no day yet")
    near = {-1: _("yesterday"), 0: _("today"), 1: _("tomorrow")}
    days = (due - today).days
    if days in near:
        return near[days]
    return formats.date_format(due, "l" if 1 < days < 7 else "j F")


def late_words(due: date | None, today: date) -> str:
    """How many days too late, or nothing."""
    days = (today - due).days if due else 0
    return ngettext("%(n)d day late", "%(n)d days late", days) % {"n": days} if days > 0 else ""


def _since_words(submission: Submission) -> str:
    return formats.date_format(timezone.localtime(submission.state_since), "j F")


def film_words(result: dict[str, Any] | None, clips: int = 1) -> str:
    """What the film is: where the camera stood, frames a second, swings."""
    if not result:
        return ""
    film, swings = result["film"], len(result["swings"])
    parts = [_("from %(side)s") % {"side": _(VIEW_NAMES.get(film["view"], film["view"]))}]
    if film.get("fps"):
        parts.append(_("%(fps)d frames a second") % {"fps": round(film["fps"])})
    parts.append(ngettext("%(n)d swing", "%(n)d swings", swings) % {"n": swings} if swings else _("no swing found"))
    if clips > 1:
        parts.append(_("%(n)d clips") % {"n": clips})
    return ", ".join(parts)


def problem_words(clips: list[Clip], measured: Clip | None) -> list[str]:
    """What keeps the film from being good, or why it could not be measured."""
    if measured is not None:
        return [check["words"] for check in (_result(measured) or {})["film"]["checks"] if not check["ok"]]
    failures = [getattr(clip, "measurement", None) for clip in clips]
    return [failure.failure_words for failure in failures[-1:] if failure and failure.failure_words]


def _result(clip: Clip | None) -> dict[str, Any] | None:
    measurement = getattr(clip, "measurement", None)
    return measurement.result if measurement is not None and measurement.is_measured else None
