"""`{{ name|plain }}`: whatever somebody typed, as it may stand in a letter to somebody else."""

from __future__ import annotations

from django import template

from portal.people.names import defused

register = template.Library()


@register.filter
def plain(name: object, longest: int = 40) -> str:
    return defused(name, longest)
