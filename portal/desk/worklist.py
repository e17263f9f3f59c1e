"""The coach's queue as a work list: who waits longest, until when, what the film is like, who is at it."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date
from functools import cache, partial
from typing import Any
from uuid import UUID

from django.db.models import OuterRef, Prefetch, Q, QuerySet, Subquery, UUIDField, prefetch_related_objects
from django.urls import reverse
from django.utils import formats, timezone
from django.utils.text import Truncator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from portal.camps.models import Camp
from portal.desk import film_check, lists
from portal.desk.models import HandOver
from portal.evaluations.models import Question
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.door import VIEW_NAMES
from portal.people.models import Hits, Sport, User

MOST_SHOWN = 120
NEAR = {-1: gettext_lazy("yesterday"), 0: gettext_lazy("today"), 1: gettext_lazy("tomorrow")}
# not get_…_display, which makes a dict of all choices for each line
HITS, SPORTS, STATES = dict(Hits.choices), dict(Sport.choices), dict(State.choices)
TO_HAND_OVER = (State.READY, State.IN_REVIEW)
REVIEWABLE = (State.READY, State.IN_REVIEW, State.UNREADABLE, State.FILM_AGAIN, State.PUBLISHED)


@dataclass(frozen=True)
class Line:
    """One line of the list; every word on it is ready to be read."""

    submission: Submission
    player: str
    about: str
    note: str
    due: str
    late: str
    since: str
    waits: str
    film: str
    check: str
    poster: str
    is_reviewable: bool
    held_by: User | None
    is_mine: bool
    hand_over: str  # to another coach; empty where it can't be
    handed: str = ""
    question: str = ""


CLIPS = Prefetch("clips", film_check.with_facts(Clip.objects.all()))
HANDED = Prefetch("hand_overs", HandOver.objects.select_related("by"))


def with_film(kept: QuerySet[Submission]) -> QuerySet[Submission]:
    """With all that a line tells at hand, but for the question that waits."""
    return kept.select_related("player", "camp", "reviewer").prefetch_related(CLIPS, HANDED)


def with_question(kept: QuerySet[Submission]) -> QuerySet[Submission]:
    """With the evaluation about which a question waits."""
    open_ones = Question.objects.filter(evaluation__submission=OuterRef("pk"), answered_at=None)
    return kept.annotate(asked_about=Subquery(open_ones.values("evaluation")[:1], output_field=UUIDField()))


class Known:
    """Camps and coaches that are at hand already, so that no line brings its own."""

    def __init__(self, camps: Iterable[Camp], coaches: Iterable[User]) -> None:
        self._camps = {camp.pk: camp for camp in camps}
        self._coaches = {coach.pk: coach for coach in coaches}

    def put_in(self, submissions: Collection[Submission]) -> None:
        """Who reviews without being among the coaches (they left the camp) is looked up, all of them at once."""
        reviewers = {one.reviewer_id for one in submissions if one.reviewer_id is not None}
        if strangers := reviewers - self._coaches.keys():
            self._coaches |= User.objects.in_bulk(strangers)
        for one in submissions:
            if one.camp_id in self._camps:
                one.camp = self._camps[one.camp_id]
            if one.reviewer_id is not None:
                one.reviewer = self._coaches.get(one.reviewer_id)


def shown(seen: QuerySet[Submission], keys: list[UUID], user: User, name: str, known: Known) -> list[Line]:
    """The lines of these submissions, in this order."""
    found, today = seen.order_by().select_related("player").in_bulk(keys), timezone.localdate()
    known.put_in(found.values())
    prefetch_related_objects(list(found.values()), CLIPS)
    prefetch_related_objects([one for one in found.values() if one.state == State.IN_REVIEW], HANDED)
    days = Days(today)
    return [line(found[key], user, days, name) for key in keys if key in found]


def first_open(seen: QuerySet[Submission], user: User, today: date) -> Line | None:
    """Who waits longest of those that this coach can take to the desk now."""
    free = seen.filter(Q(state=State.READY) | Q(state=State.IN_REVIEW, reviewer=user))
    lines = (line(submission, user, Days(today)) for submission in with_film(lists.in_order(free, lists.FIRST))[:5])
    return next((one for one in lines if one.is_reviewable), None)


class Days:
    """Days in words, as one says them on the day `today`. Lines beside each other mostly name the same ones."""

    def __init__(self, today: date) -> None:
        self.due = cache(partial(due_words, today=today))
        self.late = cache(partial(late_words, today=today))
        self.waits = cache(partial(waits_words, today=today))
        self.on = cache(partial(formats.date_format, format="M j"))


def line(submission: Submission, user: User, days: Days | None = None, name: str = lists.FIRST) -> Line:
    """What a list says of one submission."""
    days = days or Days(timezone.localdate())
    clips = list(submission.clips.all())
    measured = film_check.shown_first(clips)
    is_open = submission.state not in (State.PUBLISHED, State.WITHDRAWN)
    player = str(submission.player)
    is_reviewable = submission.state in REVIEWABLE and measured is not None
    may_go_on = may_be_handed_over(submission, has_film=measured is not None)
    since = timezone.localdate(getattr(submission, lists.since_field(name)) or submission.created_at)
    return Line(
        submission=submission,
        player=player,
        about=about_words(submission),
        note=short(submission.note),
        due=days.due(submission.promised_by) if is_open else "",
        late=days.late(submission.promised_by) if is_open else "",
        since=days.on(since),
        waits=days.waits(since),
        film=film_words(film_check.facts_of_all(clips), len(clips)) or str(STATES[submission.state]),
        check=film_check.short_words(clips),
        poster=reverse("clip_file", args=[measured.pk, "poster.jpg"]) if measured else "",
        is_reviewable=is_reviewable,
        held_by=submission.reviewer if submission.state == State.IN_REVIEW else None,
        is_mine=submission.state == State.IN_REVIEW and submission.reviewer_id == user.pk,
        hand_over=_("Hand over %(player)s") % {"player": player} if may_go_on else "",
        handed=handed_words(submission),
        question=question_address(submission),
    )


def may_be_handed_over(submission: Submission, has_film: bool) -> bool:
    """Whether a page offers to give it to another coach; who may take it, handing_over.py says."""
    return has_film and submission.state in TO_HAND_OVER


def about_words(submission: Submission) -> str:
    """How old, which hand, what sport, at which camp."""
    player = submission.player
    parts = [str(player.age), *([str(HITS[player.hits])] if player.hits else []), str(SPORTS[player.sport])]
    return f"{', '.join(parts)} · {submission.camp}"


def short(words: str) -> str:
    """As much of somebody's words as a line can show."""
    return Truncator(words).chars(MOST_SHOWN) if len(words) > MOST_SHOWN else words


def question_address(submission: Submission) -> str:
    """Where the question stands that waits for an answer; nothing where none does."""
    about = getattr(submission, "asked_about", None)
    return reverse("evaluation", args=[about]) + "#questions" if about else ""


def handed_words(submission: Submission) -> str:
    """Who gave it to the coach who holds it, and their word with it."""
    if submission.state != State.IN_REVIEW:
        return ""
    newest = next(iter(submission.hand_overs.all()), None)
    is_held = newest is not None and newest.to_coach_id == submission.reviewer_id
    if newest is None or not is_held or newest.by_id == newest.to_coach_id:
        return ""
    by = newest.by.get_short_name() if newest.by else _("a coach who has left")
    said = _("from %(name)s") % {"name": by}
    return f"{said}: {newest.words}" if newest.words else said


def due_words(due: date | None, today: date) -> str:
    """The promised day as one says it."""
    if due is None:
        return _("no day yet")
    days = (due - today).days
    if near := NEAR.get(days):
        return str(near)
    return formats.date_format(due, "l" if 1 < days < 7 else "F j")


def late_words(due: date | None, today: date) -> str:
    """How many days too late, or nothing."""
    days = (today - due).days if due else 0
    return ngettext("%(n)d day late", "%(n)d days late", days) % {"n": days} if days > 0 else ""


def waits_words(since: date, today: date) -> str:
    """How long ago that day was."""
    days = (today - since).days
    return ngettext("%(n)d day", "%(n)d days", days) % {"n": days} if days > 0 else _("today")


def film_words(found: film_check.Facts | None, clips: int = 1) -> str:
    """What the film is: where the camera stood, frames a second, swings."""
    if not found:
        return ""
    film, swings = found
    parts = [_("from %(side)s") % {"side": _(VIEW_NAMES.get(film["view"], film["view"]))}]
    if film.get("fps"):
        parts.append(_("%(fps)d fps") % {"fps": round(film["fps"])})
    if slowed := _slowed_words(film):
        parts.append(slowed)
    parts.append(ngettext("%(n)d swing", "%(n)d swings", swings) % {"n": swings} if swings else _("no swing found"))
    if clips > 1:
        parts.append(_("%(n)d clips") % {"n": clips})
    return ", ".join(parts)


def _slowed_words(film: dict[str, Any]) -> str:
    """How much slower than life the film runs; said also while no coach has settled it, for until then no time is read."""
    factor = film.get("speed_factor")
    if factor is None and film.get("speed_suspect"):
        seems = film.get("speed_proposed")
        return _("seems slowed %(n)s times") % {"n": f"{seems:.2g}"} if seems else _("seems slowed down")
    return _("slowed %(n)s times") % {"n": f"{factor:g}"} if factor and factor > 1 else ""
