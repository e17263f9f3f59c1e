"""Send one email right now and say what the mail server answered: for whoever sets the site up."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _

from portal.outbox.models import Email, EmailState
from portal.outbox.post_office import PostOffice, has_server
from portal.outbox.said import NO_SERVER
from portal.owner.naming import site_name


@dataclass(frozen=True)
class Outcome:
    """Whether the mail server took the email, and what to tell the person who asked."""

    ok: bool
    words: str


def try_mail(to: str) -> Outcome:
    """Write an email to `to` and send it at once, in this request: it takes EMAIL_TIMEOUT seconds at the very most a step.

    The email stands in the outbox as every other, with the server's answer.
    """
    try:
        validate_email(to)
    except ValidationError:
        return Outcome(False, _("%(to)s is not an email address.") % {"to": to})
    if not has_server():
        return Outcome(False, str(NO_SERVER))
    email = _written(to)
    with PostOffice() as office:
        answer = office.hand_over(email)
    now = timezone.now()
    email.state, email.answer = (EmailState.SENT if answer.taken else EmailState.GIVEN_UP), answer.words[:500]
    email.sent_at = now if answer.taken else None
    email.save(update_fields=["state", "answer", "sent_at"])
    if answer.taken:
        return Outcome(
            True, _("The mail server took it: %(words)s Look into the mailbox.") % {"words": _ended(answer.words)}
        )
    return Outcome(False, answer.words)


def _written(to: str) -> Email:
    """The email, marked as being sent by us: no worker takes it as well."""
    text = render_to_string("mail/test.txt", {"site_url": settings.SITE_URL, "site_name": site_name()})
    subject, body = text.strip().split("\n", 1)
    now = timezone.now()
    return Email.objects.create(
        to=to, sender=settings.DEFAULT_FROM_EMAIL, subject=subject.strip(), body=body.strip() + "\n",
        state=EmailState.SENDING, attempts=1, tried_at=now, runs_out_at=now,
    )  # fmt: skip


def _ended(words: str) -> str:
    return words if words.endswith((".", "!", "?")) else f"{words}."
