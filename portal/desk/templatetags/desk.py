"""What other pages show of the queue."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils import timezone

from portal import access
from portal.desk import worklist

register = template.Library()


@register.inclusion_tag("desk/next.html", takes_context=True)
def next_waiting(context: dict[str, Any]) -> dict[str, Any]:
    """Who waits longest for this coach, one key away; nothing for anybody else, or when nobody waits."""
    request = context["request"]
    seen = access.submissions_reviewed_by(request.user)
    line = worklist.first_open(seen, request.user, timezone.localdate()) if seen.exists() else None
    return {"line": line, "csrf_token": context.get("csrf_token")}
