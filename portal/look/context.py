"""What every page needs around its content."""

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from portal.look.nav import items
from portal.owner.naming import name_if_known

THEMES = ("light", "dark")


def chrome(request: HttpRequest) -> dict[str, object]:
    """`nav_items` (see templates/components/nav.html), `site_name`, and `theme`: "light", "dark" or "" for as the device
    says.
    """
    user = getattr(request, "user", None)  # a page refused before the sign-in middleware has none
    nav = SimpleLazyObject(lambda: items(user, request.path) if user is not None else [])
    return {"nav_items": nav, "theme": chosen_theme(request), "site_name": SimpleLazyObject(name_if_known)}


def chosen_theme(request: HttpRequest) -> str:
    """The reader's choice from the cookie that static/js/theme.js sets; anything unknown counts as no choice."""
    theme = request.COOKIES.get("theme", "")
    return theme if theme in THEMES else ""
