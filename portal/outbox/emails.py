"""Emails: each is one text file in templates/mail, the subject on the first line, then the email.

`send` is the only way by which the app writes to somebody. The email is a row in the transaction of the change it tells
of, and a worker sends it: no page waits for a mail server, and one that is down loses nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage
from django.template.loader import render_to_string
from django.urls import reverse

from portal.outbox.writing import write
from portal.owner.naming import site_name


def send(template: str, to: Iterable[str], *, secret: bool = False, **about: Any) -> None:
    """Write `templates/mail/<template>.txt` with `about` to each address, so that nobody reads who else got it.
    The email ends with the name that the owner gave the site.

    `secret`: it holds a link or a code that opens something. A `player` in `about` is noted with the email.
    """
    text = render_to_string(f"mail/{template}.txt", {**about, "site_url": settings.SITE_URL, "site_name": site_name()})
    subject, body = text.strip().split("\n", 1)
    player = about.get("player")
    for address in to:
        message = EmailMessage(subject.strip(), body.strip() + "\n", None, [address])
        write(message, secret=secret, about=player.pk if player else None)


def link_to(name: str, *args: object) -> str:
    """The whole address of a page, for an email."""
    return settings.SITE_URL + reverse(name, args=args)
