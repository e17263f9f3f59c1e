"""A player's own sign-in: the guardian offers it by mail, the player takes it after proving the address.

Whoever takes it is that player from then on, and as long as nobody says that they are of age a guardian speaks for them.
"""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.core import signing
from django.db import transaction

from portal.people.models import Player, User

SALT = "player-invite"
DAYS = 14


class InviteSpent(Exception):
    """The link is too old, was changed on the way, or has done its work."""


@dataclass(frozen=True)
class PlayerInvite:
    player: Player
    email: str
    by: User


def token_for(player: Player, email: str, by: User) -> str:
    """A signed token that lasts DAYS; it holds ids only, no names."""
    return signing.dumps({"player": str(player.pk), "email": email, "by": by.pk}, salt=SALT, compress=True)


def read_token(token: str) -> PlayerInvite:
    """What the token offers. Raises InviteSpent when it offers nothing any more.

    It ends with its days, when the player has a sign-in, and when its sender is no guardian of the player any longer.
    """
    try:
        held = signing.loads(token, salt=SALT, max_age=DAYS * 24 * 3600)
    except signing.BadSignature as error:
        raise InviteSpent from error
    player = Player.objects.filter(
        pk=UUID(held["player"]), user__isnull=True, guardians=held["by"], guardians__is_active=True
    ).first()
    if player is None:
        raise InviteSpent
    return PlayerInvite(player, held["email"], User.objects.get(pk=held["by"]))


@transaction.atomic
def accept(invite: PlayerInvite, user: User) -> None:
    """Tie the sign-in to the player. Raises InviteSpent when somebody else was quicker or `user` is another player."""
    if user.email.lower() != invite.email or Player.objects.filter(user=user).exists() or _is_somebody_else(user):
        raise InviteSpent
    if Player.objects.filter(pk=invite.player.pk, user__isnull=True).update(user=user) != 1:
        raise InviteSpent
    if not user.name:
        User.objects.filter(pk=user.pk).update(name=str(invite.player))


def _is_somebody_else(user: User) -> bool:
    """Whether the account is a guardian's, a coach's or the owner's: it can't be a child's as well."""
    return user.is_coach or user.is_staff or user.players.exists()
