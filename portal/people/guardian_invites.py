"""Another guardian: asked by mail, takes it on after proving the address.

A guardian asks the second one; a coach asks one for a player who turned out to be a minor and has none.
"""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.core import signing
from django.db import transaction

from portal import access
from portal.people import of_age
from portal.people.invites import InviteSpent
from portal.people.models import Player, User

SALT = "guardian-invite"
DAYS = 14


@dataclass(frozen=True)
class GuardianInvite:
    player: Player
    email: str
    by: User


def token_for(player: Player, email: str, by: User) -> str:
    """A signed token that lasts DAYS; it holds ids and the address, no names."""
    return signing.dumps({"player": str(player.pk), "email": email, "by": by.pk}, salt=SALT, compress=True)


def read_token(token: str) -> GuardianInvite:
    """What the token asks. Raises InviteSpent when it asks nothing any more: too old, taken, or whoever sent it may
    name no guardian for this player now.
    """
    try:
        held = signing.loads(token, salt=SALT, max_age=DAYS * 24 * 3600)
    except signing.BadSignature as error:
        raise InviteSpent from error
    player = Player.objects.filter(pk=UUID(held["player"])).first()
    by = User.objects.filter(pk=held["by"], is_active=True).first()
    if player is None or by is None or not access.names_guardians(by, player):
        raise InviteSpent
    if player.guardians.filter(email__iexact=held["email"]).exists():
        raise InviteSpent
    return GuardianInvite(player, held["email"], by)


@transaction.atomic
def accept(invite: GuardianInvite, user: User) -> None:
    """Make `user` a guardian. Raises InviteSpent for another address, the player, and anybody who is a minor."""
    if user.email.lower() != invite.email or invite.player.user_id == user.pk or of_age.is_minors_account(user):
        raise InviteSpent
    invite.player.guardians.add(user)
