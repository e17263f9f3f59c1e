"""What the owner's pages share: their tabs, the time by the site, and the word that no email leaves."""

from __future__ import annotations

from typing import Any

from django import template
from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from portal.outbox.post_office import has_server
from portal.outbox.said import NO_SERVER
from portal.outbox.standing import server_trouble

register = template.Library()
TABS = (
    ("owner_home", _("Overview")),
    ("people", _("Coaches")),
    ("owner_privacy", _("Privacy")),
    ("health_page", _("Health")),
    ("outbox", _("Outbox")),
    ("admin:index", _("All tables")),
)


@register.inclusion_tag("owner/tabs.html", takes_context=True)
def owner_tabs(context: dict[str, Any]) -> dict[str, Any]:
    """The owner's places, the current one marked. Nothing for anybody else (a demo's outbox is open to all)."""
    request = context["request"]
    if not getattr(request.user, "is_owner", False):
        return {"tabs": []}
    tabs = [(reverse(name), label) for name, label in TABS]
    here = max((url for url, _label in tabs if request.path.startswith(url)), key=len, default="")
    return {"tabs": [{"url": url, "label": label, "current": url == here} for url, label in tabs]}


@register.inclusion_tag("owner/clock.html")
def clock() -> dict[str, object]:
    """What time it is by this site, so that a zone that nobody set is noticed before families read its dates."""
    return {"now": timezone.localtime(), "zone": settings.TIME_ZONE}


@register.inclusion_tag("owner/no_mail.html")
def no_mail() -> dict[str, object]:
    """Says that no email leaves, where that is so. A demo keeps its emails by design."""
    return {"is_mute": not has_server() and not settings.DEMO, "words": NO_SERVER}


@register.inclusion_tag("owner/mail_trouble.html")
def mail_trouble() -> dict[str, str]:
    """Says that emails wait, where the mail server takes none: the overview is where an owner looks first."""
    return {"trouble": server_trouble() if has_server() else ""}
