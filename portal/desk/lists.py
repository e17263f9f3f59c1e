"""The lists of the queue: what stands in which, how many there are, in which order."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db.models import Count, F, Q, QuerySet
from django.utils.translation import gettext_lazy

from portal.evaluations.models import Question
from portal.intake.models import Submission
from portal.intake.states import State
from portal.people.models import User


def _mine(user: User) -> Q:
    return Q(state=State.IN_REVIEW, reviewer=user)


def _free(user: User) -> Q:
    """Nobody's; a review whose coach has left the site is nobody's, too."""
    return Q(state__in=(State.READY, State.UNREADABLE)) | Q(state=State.IN_REVIEW, reviewer=None)


def _waiting(user: User) -> Q:
    """What waits for this coach. What another coach holds waits for that one."""
    return _free(user) | _mine(user)


def _others(user: User) -> Q:
    return Q(state=State.IN_REVIEW, reviewer__isnull=False) & ~Q(reviewer=user)


def _asked(user: User) -> Q:
    """A family has asked something about the evaluation, and nobody has answered."""
    return Q(pk__in=Question.objects.filter(answered_at=None).values("evaluation__submission"))


def _in(*states: State) -> Callable[[User], Q]:
    return lambda _user: Q(state__in=states)


# In the order of the work: name in the address, words, what stands in it for this coach.
LISTS: dict[str, tuple[Any, Callable[[User], Q]]] = {
    "waiting": (gettext_lazy("waiting for you"), _waiting),
    "mine": (gettext_lazy("mine"), _mine),
    "free": (gettext_lazy("free"), _free),
    "asked": (gettext_lazy("questions"), _asked),
    "others": (gettext_lazy("with other coaches"), _others),
    "measuring": (gettext_lazy("being measured"), _in(State.RECEIVED, State.MEASURING, State.UPLOADING)),
    "film_again": (gettext_lazy("film again"), _in(State.FILM_AGAIN)),
    "published": (gettext_lazy("published"), _in(State.PUBLISHED)),
}
FIRST = "waiting"
TO_REVIEW = ("waiting", "mine", "free", "others")
SINCE_STATE = ("film_again", "published")  # their second date says when they came here, not when the clip came

SORTS = {
    "due": gettext_lazy("due"),
    "since": gettext_lazy("waiting since"),
    "player": gettext_lazy("player"),
    "camp": gettext_lazy("camp"),
}


def stands_in(seen: QuerySet[Submission], name: str, user: User) -> QuerySet[Submission]:
    """The submissions of one list."""
    return seen.filter(LISTS[name][1](user))


def counts(seen: QuerySet[Submission], user: User) -> dict[str, int]:
    """How many submissions each list holds, in one look."""
    return seen.order_by().aggregate(
        **{name: Count("pk", filter=which(user)) for name, (_words, which) in LISTS.items()}
    )


def usual_sort(name: str) -> str:
    """Who waits longest comes first; what is published, newest first."""
    return "-since" if name == "published" else "due"


def in_order(kept: QuerySet[Submission], name: str, sort: str = "") -> QuerySet[Submission]:
    """A list sorted by a key of SORTS, with `-` the other way round. What has no such day comes last either way."""
    sort = sort or usual_sort(name)
    key, is_down = sort.removeprefix("-"), sort.startswith("-")
    fields = [F(field) for field in _fields(key, name)]
    turned = [field.desc(nulls_last=True) if is_down else field.asc(nulls_last=True) for field in fields]
    return kept.order_by(*turned, "pk")  # the key decides between equals, so that no page repeats a line


def _fields(key: str, name: str) -> tuple[str, ...]:
    since = since_field(name)
    return {
        "due": ("promised_by", "received_at", "created_at"),
        "since": (since, "created_at"),
        "player": ("player__first_name", "player__last_name", "promised_by"),
        "camp": ("camp__name", "promised_by", "received_at"),
    }[key]


def since_field(name: str) -> str:
    return "state_since" if name in SINCE_STATE else "received_at"
