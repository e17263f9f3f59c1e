"""Write emails into the outbox, in the caller's transaction: an email exists exactly when the change it tells of does."""

from __future__ import annotations

from datetime import timedelta
from uuid import UUID

from django.core.mail import EmailMessage
from django.utils import timezone

from portal.after_commit import after_commit
from portal.outbox import message as messages
from portal.outbox import queue
from portal.outbox.models import Email, EmailState
from portal.outbox.post_office import has_server


def write(
    message: EmailMessage,
    *,
    urgent: bool = False,
    secret: bool = False,
    lasts: timedelta | None = None,
    about: UUID | None = None,
) -> list[Email]:
    """One email an address, to be sent by a worker after the commit; kept here where no mail server is named.

    `urgent`: sent before all others. `secret`: holds a code or a link that opens something. `lasts`: never sent later
    than this after now. `about`: the player it tells of.
    """
    now = timezone.now()
    state = EmailState.WAITING if has_server() else EmailState.KEPT
    emails = messages.to_rows(
        message, urgent=urgent, secret=secret, about=about, state=state, written_at=now, next_try_at=now,
        runs_out_at=now + lasts if lasts else None,
    )  # fmt: skip
    Email.objects.bulk_create(emails)
    if emails and has_server():
        after_commit(queue.wake)
    return emails
