"""The way in for somebody who holds an invitation: an e-mailed code, whether or not the address has an account yet.

Known and new addresses take exactly the same steps, so that the page never tells who has an account.
"""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from allauth.account.internal.flows.login_by_code import LoginCodeVerificationProcess
from allauth.mfa.adapter import get_adapter as get_mfa_adapter
from allauth.mfa.webauthn.views import RemoveWebAuthnView
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from portal.people import proving
from portal.people.models import User


@transaction.atomic
def account_for(email: str) -> User:
    """The account of this address, made on the spot when there is none; the code then proves the address."""
    user = User.objects.filter(email__iexact=email).first() or User.objects.create_user(email)
    proving.row_of(user)
    return user


def send_code(request: HttpRequest, email: str, next_url: str) -> HttpResponse:
    """Mail a code to `email` and lead to the page that asks for it; after it, the person goes to `next_url`."""
    user = account_for(email)
    LoginCodeVerificationProcess.initiate(request=request, user=user if user.is_active else None, email=user.email)
    return HttpResponseRedirect(f"{reverse('account_confirm_login_code')}?{urlencode({'next': next_url})}")


class RemovePasskey(RemoveWebAuthnView):
    """The package lets the last passkey go without asking whether it may; its app asks."""

    def form_valid(self, form: Any) -> HttpResponse:
        if not get_mfa_adapter().can_delete_authenticator(self.object):
            return self.render_to_response(self.get_context_data(form=form))
        return super().form_valid(form)


def switched_off(request: HttpRequest) -> HttpResponse:
    """In the place of a page of django-allauth that Cagenote has no use for. An account has the one address that it was
    made with: another one would take the place of whom a coach or a parent invited.
    """
    raise Http404
