"""`{{ name|plain }}`: whatever somebody typed, as it may stand in an email to somebody else."""

from __future__ import annotations

from django import template

from portal.people.models import User
from portal.people.names import defused

register = template.Library()


@register.filter
def plain(name: object, longest: int = 40) -> str:
    """Whoever has no name is called by the address, which they have proved to be theirs."""
    if isinstance(name, User):
        return defused(name.name, longest) or name.email
    return defused(name, longest)
