"""`{% awaited_email %}`: where the email is that this visitor waits for; it asks for itself again until it has left.

`{% awaited_head %}` in the page's head brings what that needs.
"""

from __future__ import annotations

from typing import Any

from django import template

from portal.people import awaited

register = template.Library()


@register.inclusion_tag("people/awaited.html", takes_context=True)
def awaited_email(context: template.Context) -> dict[str, Any]:
    request = context["request"]
    return {"awaited": awaited.of(request), "user": getattr(request, "user", None)}


@register.inclusion_tag("people/awaited_head.html")
def awaited_head() -> dict[str, Any]:
    return {}
