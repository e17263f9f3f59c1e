"""How long emails are kept: they name children, and some hold what opens a page."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID

from portal.outbox.models import Email, EmailState

EMAILS = timedelta(days=90)
SECRETS = timedelta(days=1)
UNDER_WAY = (EmailState.WAITING, EmailState.SENDING)


def forget(now: datetime, *, emails: timedelta = EMAILS, secrets: timedelta = SECRETS) -> int:
    """Delete emails that are older than `emails`, and blank those older than `secrets` that open something.

    Returns how many were deleted. What has still to be sent keeps its text until it is.
    """
    opening = Email.objects.filter(secret=True, written_at__lt=now - secrets).exclude(body="")
    opening.exclude(state__in=UNDER_WAY).update(body="", parts={})
    old = Email.objects.filter(written_at__lt=now - emails)
    return old.delete()[0]


def forget_player(player_id: UUID) -> int:
    """Delete every email that tells of this player, sent or not. Returns how many."""
    return Email.objects.filter(about=player_id).delete()[0]


def forget_address(address: str) -> int:
    """Delete every email to this address, sent or not. Returns how many."""
    return Email.objects.filter(to__iexact=address).delete()[0]
