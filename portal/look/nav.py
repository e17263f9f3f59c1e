"""The main navigation: which places each role goes to. Who may see what there is asked again by every view."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib.auth.models import AnonymousUser
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from portal.access import is_coach
from portal.owner.coach_invites import is_coming_in
from portal.people.models import User

COACH = (("queue", _("Queue")), ("camps", _("Camps")), ("drills", _("Drills")))
FAMILY = (("family", _("Players")),)
OWNER = (("owner_home", _("Site")),)


@dataclass(frozen=True)
class Item:
    """One place; `current` while the reader is somewhere beneath it."""

    url: str
    label: str | Promise
    current: bool


def items(user: User | AnonymousUser, path: str) -> list[Item]:
    """The places of this person, the one that `path` lies beneath marked."""
    if not isinstance(user, User):
        return []
    places = [*(COACH if is_coach(user) else ()), *(FAMILY if _has_players(user) else ())]
    places += OWNER if user.is_owner else ()
    return [_item(name, label, path) for name, label in places]


def _has_players(user: User) -> bool:
    """Families always come to their players' page; a coach, and who is about to become one, only when they are a family too."""
    if not is_coach(user) and not is_coming_in(user):
        return True
    return user.players.exists() or hasattr(user, "player")


def _item(name: str, label: str | Promise, path: str) -> Item:
    url = reverse(name)
    return Item(url, label, path.startswith(url))
