"""Letters: each is one text file in templates/mail, the subject on the first line, then the letter.

`send` is the only way by which the app writes to somebody. A letter goes out once the change it tells of is committed; a
mail server that is down stops nobody.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.core.mail import send_mail
from django.template.loader import render_to_string
from django.urls import reverse

from portal.after_commit import after_commit


def send(letter: str, to: Iterable[str], **about: Any) -> None:
    """Write `templates/mail/<letter>.txt` with `about` to each address, so that nobody reads who else got it."""
    text = render_to_string(f"mail/{letter}.txt", {**about, "site_url": settings.SITE_URL})
    subject, body = text.strip().split("\n", 1)
    for address in to:
        after_commit(_post, subject.strip(), body.strip() + "\n", address)


def link_to(name: str, *args: object) -> str:
    """The whole address of a page, for a letter."""
    return settings.SITE_URL + reverse(name, args=args)


def _post(subject: str, body: str, address: str) -> None:
    send_mail(subject, body, None, [address], fail_silently=True)
