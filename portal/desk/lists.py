"""The lists of the queue: what stands in which, how many there are, in which order."""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import Any

from django.db.models import Count, F, Q, QuerySet, Value
from django.db.models.functions import Coalesce, NullIf
from django.utils.translation import gettext_lazy

from portal.evaluations.models import Question
from portal.intake.models import Submission
from portal.intake.states import State
from portal.people.models import User

# Who holds what stands in a list: anybody or nobody, this coach, another one, nobody.
ANY, ME, ANOTHER, NOBODY = "any", "me", "another", "nobody"
Part = tuple[State, str]

_MINE: tuple[Part, ...] = ((State.IN_REVIEW, ME),)
# Nobody's; a review whose coach has left the site is nobody's, too.
_FREE: tuple[Part, ...] = ((State.READY, ANY), (State.UNREADABLE, ANY), (State.IN_REVIEW, NOBODY))

# In the order of the work: name in the address, words, what stands in it. What another coach holds waits for that one.
LISTS: dict[str, tuple[Any, tuple[Part, ...]]] = {
    "waiting": (gettext_lazy("waiting for you"), (*_FREE, *_MINE)),
    "mine": (gettext_lazy("mine"), _MINE),
    "free": (gettext_lazy("free"), _FREE),
    "asked": (gettext_lazy("questions"), ()),  # by its own rule, in whatever state: `_asked`
    "others": (gettext_lazy("with other coaches"), ((State.IN_REVIEW, ANOTHER),)),
    "measuring": (
        gettext_lazy("being measured"),
        ((State.RECEIVED, ANY), (State.MEASURING, ANY), (State.UPLOADING, ANY)),
    ),
    "film_again": (gettext_lazy("film again"), ((State.FILM_AGAIN, ANY),)),
    "published": (gettext_lazy("published"), ((State.PUBLISHED, ANY),)),
}
ASKED = "asked"
FIRST = "waiting"
TO_REVIEW = ("waiting", "mine", "free", "others")
SINCE_STATE = ("film_again", "published")  # their second date says when they came here, not when the clip came

SORTS = {
    "due": gettext_lazy("due"),
    "since": gettext_lazy("waiting since"),
    "player": gettext_lazy("player"),
    "camp": gettext_lazy("camp"),
    "coach": gettext_lazy("coach"),
}
# As they are called on the page, and those of one name apart.
_COACH = (Coalesce(NullIf(F("reviewer__name"), Value("")), F("reviewer__email")), F("reviewer"))


def stands_in(seen: QuerySet[Submission], name: str, user: User) -> QuerySet[Submission]:
    """The submissions of one list."""
    return seen.filter(_asked() if name == ASKED else _rule(LISTS[name][1], user))


def counts(seen: QuerySet[Submission], user: User) -> dict[str, int]:
    """How many submissions each list holds. The database counts by state and coach once, however many lists there are.

    Camp by camp, for so they stand in the index `queue`, which then is read along: a fifth of the time on SQLite.
    """
    parts = list(seen.order_by().values_list("camp", "state", "reviewer").annotate(many=Count("*")))
    held = {
        name: sum(
            many
            for _camp, state, reviewer, many in parts
            if (state, ANY) in rule or (state, _who(reviewer, user)) in rule
        )
        for name, (_words, rule) in LISTS.items()
    }
    return {**held, ASKED: _how_many_ask(seen)}


def _how_many_ask(seen: QuerySet[Submission]) -> int:
    """Few questions wait at a time, and mostly none: looked up first, they spare a second walk through all submissions."""
    asked = set(Question.objects.filter(answered_at=None).values_list("evaluation__submission", flat=True))
    return seen.filter(pk__in=asked).count() if asked else 0


def _who(reviewer: int | None, user: User) -> str:
    return NOBODY if reviewer is None else ME if reviewer == user.pk else ANOTHER


def _rule(parts: tuple[Part, ...], user: User) -> Q:
    holders = {
        ME: Q(reviewer=user),
        NOBODY: Q(reviewer=None),
        ANOTHER: Q(reviewer__isnull=False) & ~Q(reviewer=user),
    }
    whole = Q(state__in=[state for state, holder in parts if holder == ANY])
    return reduce(or_, (Q(state=state) & holders[holder] for state, holder in parts if holder != ANY), whole)


def _asked() -> Q:
    """A family has asked something about the evaluation, and nobody has answered."""
    return Q(pk__in=Question.objects.filter(answered_at=None).values("evaluation__submission"))


def usual_sort(name: str) -> str:
    """Who waits longest comes first; what is published, newest first."""
    return "-since" if name == "published" else "due"


def in_order(kept: QuerySet[Submission], name: str, sort: str = "") -> QuerySet[Submission]:
    """A list sorted by a key of SORTS, with `-` the other way round. What has no such day, or no coach, comes last either way."""
    sort = sort or usual_sort(name)
    key, is_down = sort.removeprefix("-"), sort.startswith("-")
    fields = [F(field) if isinstance(field, str) else field for field in _fields(key, name)]
    turned = [field.desc(nulls_last=True) if is_down else field.asc(nulls_last=True) for field in fields]
    return kept.order_by(*turned, "pk")  # the key decides between equals, so that no page repeats a line


def _fields(key: str, name: str) -> tuple[Any, ...]:
    since = since_field(name)
    return {
        "due": ("promised_by", "received_at", "created_at"),
        "since": (since, "created_at"),
        "player": ("player__folded_name", "promised_by"),  # databases sort accents and capitals each in their own way
        "camp": ("camp__name", "promised_by", "received_at"),
        "coach": (*_COACH, "promised_by", "received_at"),
    }[key]


def since_field(name: str) -> str:
    return "state_since" if name in SINCE_STATE else "received_at"
