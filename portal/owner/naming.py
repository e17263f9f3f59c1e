"""What this site is called: on pages, in emails, in the authenticator app."""

from __future__ import annotations

from django.db import Error

APP = "Cagenote"


def site_name() -> str:
    """The name that the owner gave the site, else the app's own."""
    from portal.owner.models import Site

    return Site.objects.values_list("name", flat=True).first() or APP


def name_if_known() -> str:
    """For what is told also when the database does not answer."""
    try:
        return site_name()
    except Error:
        return APP
