"""What the pages of the second step need beside what django-allauth gives them."""

from __future__ import annotations

from typing import Any

from allauth.mfa.adapter import get_adapter
from allauth.mfa.models import Authenticator
from django import template

from portal.people import second_step

register = template.Library()


@register.simple_tag(takes_context=True)
def second_step_of_reader(context: dict[str, Any]) -> dict[str, bool]:
    """`asked`: has to have one; `there`: has one; `can_have_passkey`: browsers make passkeys on this address."""
    request = context["request"]
    is_local = request.get_host().partition(":")[0] == "localhost"
    return {
        "asked": second_step.is_asked_of(request.user),
        "there": second_step.has_one(request.user),
        "can_have_passkey": request.is_secure() or is_local,
    }


@register.filter
def may_go(authenticator: Authenticator) -> bool:
    """Whether the person may take this one away."""
    return get_adapter().can_delete_authenticator(authenticator)


@register.filter
def in_fours(secret: str) -> str:
    """A long key in groups, to be typed in by hand."""
    return " ".join(secret[at : at + 4] for at in range(0, len(secret), 4))
