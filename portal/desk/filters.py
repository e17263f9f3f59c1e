"""What the address of the queue asks for: list, search, filters, order. What makes no sense in it counts as not said."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp
from portal.desk import lists
from portal.intake.models import Submission
from portal.intake.states import State
from portal.people.folding import fold
from portal.people.models import Player, User

DUE = (("late", _("late")), ("today", _("today")), ("week", _("within a week")), ("none", _("no day yet")))
SINCE = (("3", _("3 days and more")), ("7", _("a week and more")), ("14", _("two weeks and more")))
STATES = [choice for choice in State.choices if choice[0] != State.WITHDRAWN]
MOST_WORDS = 5  # of a name


class FilterForm(forms.Form):
    """The fields as the page shows them; `list` and `sort` are links as well."""

    list = forms.ChoiceField(
        choices=[(name, words) for name, (words, _which) in lists.LISTS.items()], widget=forms.HiddenInput
    )
    q = forms.CharField(label=_("Player"), max_length=80, widget=forms.TextInput(attrs={"type": "search"}))
    camp = forms.ChoiceField(label=_("Camp"))
    coach = forms.ChoiceField(label=_("Coach"))
    state = forms.ChoiceField(label=_("State"), choices=[("", _("any")), *STATES])
    due = forms.ChoiceField(label=_("Due"), choices=[("", _("any day")), *DUE])
    since = forms.ChoiceField(label=_("Waiting"), choices=[("", _("any time")), *SINCE])
    sort = forms.ChoiceField(
        label=_("Order"),
        choices=[
            ("", _("as usual")),
            *((key, words) for key, words in lists.SORTS.items()),
            *((f"-{key}", _("%(key)s, last first") % {"key": words}) for key, words in lists.SORTS.items()),
        ],
    )

    def __init__(self, *args: Any, camps: Iterable[Camp], coaches: Iterable[User], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._offer("camp", _("all camps"), camps)
        self._offer("coach", _("any coach"), coaches)
        for field in self.fields.values():
            field.required = False

    def _offer(self, name: str, nothing: Any, things: Iterable[Any]) -> None:
        """The things to choose from; where there is but one, there is nothing to choose."""
        choices = [(str(thing.pk), str(thing)) for thing in things]
        if len(choices) < 2:
            del self.fields[name]
        else:
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", nothing), *choices]

    def showing(self, said: dict[str, str]) -> FilterForm:
        """This form with what was understood, and without a word on what was not."""
        self.is_bound, self.initial = False, said
        return self

    def said(self) -> dict[str, str]:
        """What the address says, without what nobody could have chosen."""
        self.full_clean()
        kept = {name: str(self.cleaned_data.get(name) or "") for name in self.fields}
        kept["list"] = kept["list"] or lists.FIRST
        return kept


def address(said: dict[str, str], **changed: str) -> str:
    """The queue's address with these choices; what is not chosen does not stand in it."""
    return "?" + urlencode({name: value for name, value in {**said, **changed}.items() if value})


def narrowed(said: dict[str, str]) -> list[str]:
    """The names of the filters that leave something out."""
    return [name for name in ("q", "camp", "coach", "state", "due", "since") if said.get(name)]


def narrow(seen: QuerySet[Submission], said: dict[str, str], today: date | None = None) -> QuerySet[Submission]:
    """The submissions that the filters let through, in whatever list they stand."""
    today = today or timezone.localdate()
    for name in ("camp", "state"):
        if value := said.get(name):
            seen = seen.filter(**{name: value})
    if coach := said.get("coach"):
        seen = seen.filter(reviewer__pk=int(coach), state__in=(State.IN_REVIEW, State.PUBLISHED))
    if due := said.get("due"):
        seen = seen.filter(_due(due, today))
    if since := said.get("since"):
        before = timezone.now() - timedelta(days=int(since))
        field = lists.since_field(said.get("list", lists.FIRST))
        seen = seen.filter(**{f"{field}__lte": before})
    if words := said.get("q", "").split()[:MOST_WORDS]:
        # By themselves: a database that looks up the player of each submission takes three times as long.
        named = Q(*(Q(folded_name__contains=fold(word)) for word in words))
        seen = seen.filter(player__in=Player.objects.filter(named))
    return seen


def _due(which: str, today: date) -> Q:
    return {
        "late": Q(promised_by__lt=today),
        "today": Q(promised_by=today),
        "week": Q(promised_by__range=(today, today + timedelta(days=7))),
        "none": Q(promised_by=None),
    }[which]
