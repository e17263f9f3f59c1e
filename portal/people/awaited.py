"""Where the email is that somebody waits for before a page: of their own session alone, and nothing about accounts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from portal.outbox.models import Email, EmailState
from portal.outbox.standing import server_trouble
from portal.people.sign_in_emails import SESSION_KEY

PATIENCE = timedelta(seconds=20)  # an email that nobody has tried by then is stuck


@dataclass(frozen=True)
class Awaited:
    """`words` say what stands and, where the email does not come by itself, what to do. `asks_again`: look once more soon."""

    kind: str
    words: str
    asks_again: bool = False
    needs_help: bool = False


def of(request: HttpRequest) -> Awaited | None:
    """The email that this session asked for last; None when there is none."""
    pk = request.session.get(SESSION_KEY)
    email = Email.objects.filter(pk=pk).first() if pk else None
    if email is None or (email.state == EmailState.KEPT and settings.DEMO):
        return None
    return _of(email)


def _of(email: Email) -> Awaited:
    if email.state == EmailState.SENT:
        return Awaited("sent", _("The email has left. It can take a minute; look in the spam folder too."))
    if email.state == EmailState.KEPT:
        words = _("This site has no mail server yet, so no email can leave it. Tell your coach, or whoever runs it.")
        return Awaited("kept", words, needs_help=True)
    if email.state == EmailState.GIVEN_UP:
        return _given_up(email)
    if email.server_down or (email.attempts == 0 and server_trouble()):
        words = _("Our mail server does not answer right now. We keep trying, and send the email as soon as it does.")
        return Awaited("server_down", words, asks_again=True, needs_help=True)
    if email.attempts and email.state == EmailState.WAITING:
        words = _("The mail server of this address asks us to come again in a minute or two. We do, by ourselves.")
        return Awaited("later", words, asks_again=True)
    if timezone.now() - email.written_at > PATIENCE:
        words = _("The email has not left yet: sending is held up here with us. It goes as soon as it can.")
        return Awaited("held_up", words, asks_again=True, needs_help=True)
    return Awaited("on_its_way", _("The email is on its way."), asks_again=True)


def _given_up(email: Email) -> Awaited:
    if email.runs_out_at and email.runs_out_at <= timezone.now():
        words = _("The email could not be sent while it was of use. Please ask for a new one.")
        return Awaited("over", words, needs_help=True)
    words = _("The mail server does not take emails for this address. Is it spelled right?")
    return Awaited("refused", words, needs_help=True)
