"""Accounts are by invitation: a camp's link, or the owner."""

from __future__ import annotations

import time
from typing import Any

from allauth.account import app_settings
from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.internal.flows.login import get_authentication_records
from django.http import HttpRequest
from django.urls import reverse

INVITE_KEY = "invite_token"


class InviteOnlyAdapter(DefaultAccountAdapter):
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
