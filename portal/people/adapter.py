"""Accounts are by invitation: a camp's link, or the owner."""

from allauth.account.adapter import DefaultAccountAdapter
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

    def get_login_redirect_url(self, request: HttpRequest) -> str:
        """Back to the invite that somebody came by, when the sign-in lost the way there."""
        token = request.session.get(INVITE_KEY)
        return reverse("join_who", args=[token]) if token else super().get_login_redirect_url(request)
