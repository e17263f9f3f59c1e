"""How long letters are kept: they name children, and some hold what opens a page."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID

from portal.outbox.models import Letter, LetterState

LETTERS = timedelta(days=90)
SECRETS = timedelta(days=1)
UNDER_WAY = (LetterState.WAITING, LetterState.SENDING)


def forget(now: datetime, *, letters: timedelta = LETTERS, secrets: timedelta = SECRETS) -> int:
    """Delete letters that are older than `letters`, and blank those older than `secrets` that open something.

    Returns how many were deleted. What has still to be sent keeps its text until it is.
    """
    opening = Letter.objects.filter(secret=True, written_at__lt=now - secrets).exclude(body="")
    opening.exclude(state__in=UNDER_WAY).update(body="", parts={})
    old = Letter.objects.filter(written_at__lt=now - letters)
    return old.delete()[0]


def forget_player(player_id: UUID) -> int:
    """Delete every letter that tells of this player, sent or not. Returns how many."""
    return Letter.objects.filter(about=player_id).delete()[0]


def forget_address(address: str) -> int:
    """Delete every letter to this address, sent or not. Returns how many."""
    return Letter.objects.filter(to__iexact=address).delete()[0]
