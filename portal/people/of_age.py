"""Who is of age. A guardian or coach decides, never the player: a birth year is quickly typed, and a child's own sign-in
must not end what a guardian agreed to. Only who came by an invite link on their own says of themself that they are 18.
"""

from __future__ import annotations

from django.utils import timezone

from portal.people.models import Player, User

FIELDS = ("adult_said_at", "adult_said_by")


class TooYoung(Exception):
    """The birth year does not allow it."""


def call_adult(player: Player, by: User) -> None:
    """Note that `by` said that the player is 18 or older; the player then speaks for themself.

    Raises TooYoung where the birth year says otherwise.
    """
    if not player.may_be_adult:
        raise TooYoung
    player.adult_said_at, player.adult_said_by = timezone.now(), by
    player.save(update_fields=FIELDS)


def call_minor(player: Player) -> None:
    """From now on a guardian speaks for the player. What the player agreed to alone counts no longer
    (portal/intake/consent.py), until a guardian agrees.
    """
    player.adult_said_at = player.adult_said_by = None
    player.save(update_fields=FIELDS)


def is_minors_account(user: User) -> bool:
    """Whether this is the own sign-in of a player who is not of age: such a one speaks for nobody."""
    player = Player.objects.filter(user=user).first()
    return player is not None and player.is_minor
