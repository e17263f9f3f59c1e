"""Accounts are by invitation: a camp's link, or the owner."""

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest

INVITE_KEY = "invite_token"


class InviteOnlyAdapter(DefaultAccountAdapter):
    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Only for somebody who came through a camp's open invite link."""
        from portal.camps.models import Camp

        token = request.session.get(INVITE_KEY)
        camp = Camp.objects.filter(invite_token=token).first() if token else None
        return camp is not None and camp.invite_is_open
