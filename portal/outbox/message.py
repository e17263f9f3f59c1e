"""An email's row and the message that travels, each made from the other."""

from __future__ import annotations

import base64
from email.utils import format_datetime
from typing import Any

from django.core.mail import EmailMessage, EmailMultiAlternatives
from django.core.mail.backends.base import BaseEmailBackend

from portal.outbox.models import Email

ANSWERS_NOBODY = {"Auto-Submitted": "auto-generated"}  # RFC 3834: no absence notes, please


def to_rows(message: EmailMessage, **fields: Any) -> list[Email]:
    """One email for each address, not saved yet: one bad address stops no other, and nobody reads who else got it."""
    parts = {
        "alternatives": [[str(one[0]), str(one[1])] for one in getattr(message, "alternatives", [])],
        "subtype": message.content_subtype,
        "reply_to": [str(one) for one in message.reply_to],
        "headers": {str(name): str(value) for name, value in message.extra_headers.items()},
        "attachments": [_packed(*attachment) for attachment in message.attachments],
    }
    parts = {name: value for name, value in parts.items() if value and value != "plain"}
    return [
        Email(
            to=to, sender=str(message.from_email), subject=one_line(message.subject)[:200],
            body=str(message.body), parts=parts, **fields,
        )
        for to in message.recipients()
    ]  # fmt: skip


def from_row(email: Email, connection: BaseEmailBackend | None = None) -> EmailMultiAlternatives:
    """The message as it travels. It is the same at every attempt: its Message-ID and its date are the email's."""
    parts = email.parts
    headers = {
        **ANSWERS_NOBODY, **parts.get("headers", {}),
        "Message-ID": email.message_id, "Date": format_datetime(email.written_at),
    }  # fmt: skip
    message = EmailMultiAlternatives(
        email.subject, email.body, email.sender, [email.to], headers=headers,
        reply_to=parts.get("reply_to", []), connection=connection,
    )  # fmt: skip
    message.content_subtype = parts.get("subtype", "plain")
    for content, mimetype in parts.get("alternatives", []):
        message.attach_alternative(content, mimetype)
    for name, content, mimetype in parts.get("attachments", []):
        message.attach(name, base64.b64decode(content), mimetype)
    return message


def one_line(text: object) -> str:
    """Without line breaks, which would begin another header."""
    return " ".join(str(text).split())


def _packed(name: str | None, content: str | bytes, mimetype: str | None) -> list[str | None]:
    """An attachment as JSON can hold it."""
    raw = content.encode() if isinstance(content, str) else content
    return [name, base64.b64encode(raw).decode("ascii"), mimetype]
