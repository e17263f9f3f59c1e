"""Emails of signing in: a code, a link for a new password, or the word that there is no account.

They are all alike from outside: sent before all others, never later than a code is of use, shown to nobody, and noted in
the session that asked, so that its page can say truly where the email is. So neither their speed nor their state tells
who has an account.
"""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.http import HttpRequest

KINDS = (
    "login_code", "email_confirmation", "email_confirmation_signup", "password_reset_key", "password_reset_code",
    "unknown_account", "account_already_exists",
)  # fmt: skip
LASTS = timedelta(seconds=settings.ACCOUNT_LOGIN_BY_CODE_TIMEOUT) - timedelta(minutes=1)  # one is left to type it in
SESSION_KEY = "awaited_email"
CODE_SENT = "account/messages/login_code_sent.txt"


def send(message: EmailMessage, kind: str, request: HttpRequest | None) -> None:
    """Write the email that django-allauth made from the templates of `kind`, such as "account/email/login_code"."""
    if kind.removeprefix("account/email/") not in KINDS:
        message.send()
        return
    connection = get_connection(urgent=True, secret=True, lasts=LASTS)
    connection.send_messages([message])
    if request is not None:
        request.wrote_email = True  # type: ignore[attr-defined]
        if written := getattr(connection, "written", []):
            request.session[SESSION_KEY] = written[-1].pk


def wrote_one(request: HttpRequest) -> bool:
    """Whether this very request wrote one."""
    return bool(getattr(request, "wrote_email", False))
