"""Django's SMTP backend, which also remembers what the server said when it took an email."""

from __future__ import annotations

import smtplib
from typing import Any

from django.core.mail.backends import smtp


class _Remembers:
    """`taken` is the server's last answer to a whole email: (code, words)."""

    taken: tuple[int, bytes] | None = None

    def data(self, msg: Any) -> tuple[int, bytes]:
        self.taken = super().data(msg)  # type: ignore[misc]
        return self.taken


class Plain(_Remembers, smtplib.SMTP):
    pass


class Tls(_Remembers, smtplib.SMTP_SSL):
    pass


class EmailBackend(smtp.EmailBackend):
    @property
    def connection_class(self) -> type[smtplib.SMTP]:
        return Tls if self.use_ssl else Plain

    @property
    def taken(self) -> str:
        """What the server answered to the last email, such as "250 2.0.0 Ok: queued as 4F2A"."""
        answer = getattr(self.connection, "taken", None)
        return f"{answer[0]} {answer[1].decode('utf-8', 'replace')}" if answer else ""
