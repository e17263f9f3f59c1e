"""The mail backend that Django and django-allauth write through: every mail becomes an email of the outbox first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.core.mail import EmailMessage
from django.core.mail.backends.base import BaseEmailBackend

from portal.outbox.models import Email
from portal.outbox.writing import write


class OutboxBackend(BaseEmailBackend):
    """Talks to no server, so it is quick and does not fail: a worker sends (portal/outbox/sending.py).

    Options are those of `write`: `get_connection(urgent=True)`. What was written is in `written`.
    """

    def __init__(self, fail_silently: bool = False, **options: Any) -> None:
        super().__init__(fail_silently=fail_silently)
        self.options = {name: options[name] for name in ("urgent", "secret", "lasts", "about") if name in options}
        self.written: list[Email] = []

    def send_messages(self, messages: Sequence[EmailMessage]) -> int:
        for message in messages:
            self.written += write(message, **self.options)
        return len(messages)
