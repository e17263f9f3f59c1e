"""Template tags of the evaluation: `{% load evaluations %}`."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils.safestring import SafeString, mark_safe

from portal.desk.models import Rate
from portal.evaluations import present as presenting
from portal.evaluations import telling
from portal.evaluations.practice import Week
from portal.look import words
from portal.look.strip import geometry

register = template.Library()


@register.simple_tag
def present(snapshot: dict[str, Any]) -> dict[str, Any]:
    """A draft's snapshot made ready, its pictures with the addresses that they carry."""
    return presenting.present(snapshot)


@register.filter
def drawn(svg: str) -> SafeString:
    """The drawing of a set-up out of a snapshot: written by portal/drills/diagram_svg.py, every text in it escaped."""
    return mark_safe(svg)


@register.filter
def week_of(weeks: dict[str, Week] | None, slug: str) -> Week | None:
    return (weeks or {}).get(slug)


@register.filter
def blanks(days: int | None) -> range:
    """A line to write a day on for each day that a drill is wanted; three where an old edition does not say."""
    return range(days or 3)


@register.inclusion_tag("evaluations/strip_print.html")
def strip_print(point: dict[str, Any]) -> dict[str, Any]:
    """The reading strip in the fixed colours and sizes of print; the same geometry as on the page."""
    swings = point.get("each", [])
    at = geometry(point["scale"], point["band"], point["value"], point["interval"], swings)
    return {
        "at": at,
        "low": words.number(point["scale"][0]),
        "high": words.number(point["scale"][1]),
        "label": words.strip_label(point["value"], point["interval"], point["band"], point["unit"], swings),
        "wanted": words.wanted_words(point["band"], point["unit"]),
    }


@register.simple_tag
def call_text(point: dict[str, Any]) -> str:
    """The call, and why where there is a reason, in one line of words."""
    said = words.call_words(point["call"])
    return f"{said}: {point['reason']}" if point["reason"] else said


@register.simple_tag
def measured_words(point: dict[str, Any]) -> str:
    return telling.measured_words(point)


@register.simple_tag
def rating_text(rating: str) -> str:
    return str(Rate(rating).label)
