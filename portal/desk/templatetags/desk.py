"""What other pages show of the queue, and a checkpoint on its card."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from django import template
from django.conf import settings
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import get_language

from portal import access
from portal.desk import worklist
from portal.desk.stops import Point
from portal.measuring.door import checkpoint

register = template.Library()


@register.inclusion_tag("desk/next.html", takes_context=True)
def next_waiting(context: dict[str, Any]) -> dict[str, Any]:
    """Who waits longest for this coach, one key away; nothing for anybody else, or when nobody waits."""
    request = context["request"]
    seen = access.submissions_reviewed_by(request.user)
    line = worklist.first_open(seen, request.user, timezone.localdate()) if seen.exists() else None
    return {"line": line, "csrf_token": context.get("csrf_token")}


@register.simple_tag
def point(one: Point, is_mine: bool) -> SafeString:
    """One checkpoint at its stop, as a stranger or its coach (`is_mine`) sees it.

    The desk shows some thirty, again after each correction, and most of a page's time went into them: of the same reading, rating and
    language it is made once. What a coach wrote is kept in no memory.
    """
    if one.words or settings.DEBUG:
        return _drawn(one, is_mine)
    return _kept(
        get_language(), one.entry.id, json.dumps(one.reading), str(one.rating), bool(one.is_thing), bool(is_mine)
    )


@lru_cache(maxsize=512)
def _kept(_language: str | None, entry: str, reading: str, rating: str, is_thing: bool, is_mine: bool) -> SafeString:
    """Made from what it is kept by, and so from nothing else."""
    return _drawn(Point(checkpoint(entry), json.loads(reading), rating, "", is_thing), is_mine)


def _drawn(one: Point, is_mine: bool) -> SafeString:
    return render_to_string("desk/point.html", {"point": one, "is_mine": is_mine})
