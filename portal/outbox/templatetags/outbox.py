"""`{% demo_outbox %}`: the way to the mails of a demo, and nothing anywhere else."""

from __future__ import annotations

from django import template
from django.conf import settings

register = template.Library()


@register.inclusion_tag("outbox/demo_link.html")
def demo_outbox() -> dict[str, bool]:
    return {"is_open": settings.DEMO}
