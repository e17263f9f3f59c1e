"""What this site is called: on pages, in emails, in the authenticator app."""

from __future__ import annotations

APP = "Cagenote"


def site_name() -> str:
    """The name that the owner gave the site, else the app's own."""
    from portal.owner.models import Site

    return Site.objects.values_list("name", flat=True).first() or APP
