"""`{% address_form as url %}`: where somebody who waits for a code can type in another address."""

from __future__ import annotations

from urllib.parse import urlencode

from allauth.account.adapter import get_adapter
from django import template
from django.urls import reverse

from portal.people.adapter import INVITE_KEY

register = template.Library()


@register.simple_tag(takes_context=True)
def address_form(context: template.Context) -> str:
    """The camp's invitation, for who came by its open link: an address without an account gets in only there. Else the
    page that emails a code, which leads on to where the person was going."""
    request = context["request"]
    if get_adapter(request).is_open_for_signup(request):
        return reverse("join", args=[request.session[INVITE_KEY]])
    url, going_to = reverse("account_request_login_code"), context.get("redirect_field_value")
    return f"{url}?{urlencode({'next': going_to})}" if going_to else url
