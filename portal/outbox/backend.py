"""A mail backend that keeps every letter for the outbox page and forwards it when a mail server is named."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.core.mail.backends.base import BaseEmailBackend

from portal.outbox.models import Letter


class OutboxBackend(BaseEmailBackend):
    def __init__(self, fail_silently: bool = False, **options: Any) -> None:
        super().__init__(fail_silently=fail_silently)
        forward = settings.OUTBOX_FORWARDS_TO
        self.server = get_connection(str(forward), fail_silently=False, **options) if forward else None

    def send_messages(self, messages: Sequence[EmailMessage]) -> int:
        return sum(self._send(message) for message in messages)

    def _send(self, message: EmailMessage) -> int:
        """Keep first, then forward: a letter that the server refused is still readable, with the trouble noted."""
        letters = [
            Letter.objects.create(
                to=to, sender=message.from_email, subject=message.subject[:200], body=str(message.body)
            )
            for to in message.recipients()
        ]
        if self.server is None:
            return 1
        try:
            self.server.send_messages([message])
        except OSError as error:  # smtplib's exceptions are OSErrors
            Letter.objects.filter(pk__in=[letter.pk for letter in letters]).update(trouble=str(error)[:200])
            if not self.fail_silently:
                raise
            return 0
        Letter.objects.filter(pk__in=[letter.pk for letter in letters]).update(forwarded=True)
        return 1
