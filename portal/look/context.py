"""What every page needs around its content."""

from django.db import Error
from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from portal.look.nav import items
from portal.owner.naming import name_if_known

THEMES = ("light", "dark")


def chrome(request: HttpRequest) -> dict[str, object]:
    """`nav_items` (see templates/components/nav.html), `site_name`, `signed_in_as` (below), and `theme`: "light", "dark" or
    "" for as the device says.
    """
    user = getattr(request, "user", None)  # a page refused before the sign-in middleware has none
    nav = SimpleLazyObject(lambda: items(user, request.path) if user is not None else [])
    return {
        "nav_items": nav,
        "theme": chosen_theme(request),
        "site_name": SimpleLazyObject(name_if_known),
        "signed_in_as": SimpleLazyObject(lambda: address_if_known(request)),
    }


def address_if_known(request: HttpRequest) -> str | None:
    """The reader's own address, "" for a stranger; None where the database does not say, for pages that stand without it."""
    try:
        user = getattr(request, "user", None)
        return user.email if user is not None and user.is_authenticated else ""
    except Error:
        return None


def chosen_theme(request: HttpRequest) -> str:
    """The reader's choice from the cookie that static/js/theme.js sets; anything unknown counts as no choice."""
    theme = request.COOKIES.get("theme", "")
    return theme if theme in THEMES else ""
