"""Accounts are by invitation: a camp's link, or the owner."""

from __future__ import annotations

import time
from typing import Any

from allauth.account import app_settings
from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.internal.flows.login import get_authentication_records
from allauth.account.internal.flows.signup import send_unknown_account_mail
from django.contrib.sites.shortcuts import get_current_site
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from portal.people import sign_in_emails

INVITE_KEY = "invite_token"


class InviteOnlyAdapter(DefaultAccountAdapter):
    error_messages = {
        **DefaultAccountAdapter.error_messages,
        "account_inactive": _("This account is closed. If that is a mistake, write to your coach."),
        "email_password_mismatch": _("Address and password do not go together. An emailed code gets you in as well."),
        "enter_current_password": _("This is not your password of today."),
        "incorrect_code": _("This is not the code. Look whether a newer email has come; the newest one counts."),
        "incorrect_password": _("This is not your password."),
        "invalid_password_reset": _("This link no longer works. Each works once and only for a while."),
        "rate_limited": _("That was often in a short time. Wait a minute, then try again."),
        "too_many_login_attempts": _("Too many tries that failed. Wait five minutes, or have a code emailed to you."),
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Only for somebody who came through a camp's open invite link."""
        from portal.camps.models import Camp

        token = request.session.get(INVITE_KEY)
        camp = Camp.objects.filter(invite_token=token).first() if token else None
        return camp is not None and camp.invite_is_open

    def is_reauthentication_required(self, *, app: str, **kwargs: Any) -> bool:
        """Who signed in within the last minutes is not asked again right away, by whichever step that was."""
        records = get_authentication_records(self.request, self.request.user)
        newest = max((record["at"] for record in records), default=0.0)
        if time.time() - newest < app_settings.REAUTHENTICATION_TIMEOUT:
            return False
        return super().is_reauthentication_required(app=app, **kwargs)

    def get_login_redirect_url(self, request: HttpRequest) -> str:
        """Back to the invite that somebody came by, when the sign-in lost the way there."""
        token = request.session.get(INVITE_KEY)
        return reverse("join_who", args=[token]) if token else super().get_login_redirect_url(request)

    def is_safe_url(self, url: str) -> bool:
        """Whether a `next` may be followed. What is no address at all may not: the check of its host would fail on it."""
        try:
            return super().is_safe_url(url)
        except ValueError:
            return False

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Through the outbox, as all emails; whose session asked is noted (portal/people/sign_in_emails.py)."""
        request = self.request
        about = {"request": request, "email": email, "current_site": get_current_site(request), **context}
        sign_in_emails.send(self.render_mail(template_prefix, email, about), template_prefix, request)

    def add_message(
        self, request: HttpRequest, level: int, message_template: str | None = None, *rest: Any, **more: Any
    ) -> None:
        """A code was asked for once more, but none is written to an address without an account: so that nobody can tell
        by that, the email which says so is written again.
        """
        about = rest[0] if rest else more.get("message_context")
        if message_template == sign_in_emails.CODE_SENT and about and not sign_in_emails.wrote_one(request):
            send_unknown_account_mail(request, about["email"])
        super().add_message(request, level, message_template, *rest, **more)
