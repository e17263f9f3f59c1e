"""Template tags of the design system: `{% load look %}`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

from django import template
from django.conf import settings
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import get_language

from portal.look import words
from portal.look.modules import imported
from portal.look.strip import geometry

register = template.Library()

register.filter("number", words.number)


@register.simple_tag
def module(name: str) -> SafeString:
    """A browser module and, named ahead, all that it imports: `{% module "js/desk/desk.js" %}`."""
    return _module(static(name), name)


@register.filter
def value(reading: dict[str, Any]) -> str:
    """The value of a reading with its unit, or a dash. What a share is of stands small beside it."""
    unit = reading.get("unit", "")
    said = words.measured(reading.get("value"), reading.get("interval"), words.sign_of(unit), reading.get("band"))
    of_what = words.of_what(unit) if reading.get("value") is not None else ""
    return format_html("{} <small>{}</small>", said, of_what) if of_what else said


@register.filter
def range_words(reading: dict[str, Any]) -> str:
    """ "give or take 5°" for a reading that has an interval."""
    return words.give_or_take(reading.get("value"), reading.get("interval"), reading.get("unit", ""))


@register.inclusion_tag("components/strip.html")
def strip(
    scale: Sequence[float],
    band: Sequence[float | None] | None,
    value: float | None,
    interval: Sequence[float] | None,
    unit: str = "",
    show_wanted: bool = True,
    swings: Sequence[float] = (),
) -> dict[str, Any]:
    """The reading strip: `{% strip r.scale r.band r.value r.interval r.unit swings=r.each %}`."""
    swings = swings or ()  # editions from before the clip's swings were one measurement hold none
    return {
        "at": geometry(scale, band, value, interval, swings),
        "low": words.number(scale[0]),
        "high": words.number(scale[1]),
        "unread": value is None,
        "label": words.strip_label(value, interval, band, unit, swings),
        "wanted": words.wanted_words(band, unit) if show_wanted else "",
    }


@register.simple_tag
def call(word: str, reason: str = "") -> SafeString:
    """What the reading says against the band, in words with a small shape: `{% call r.call r.reason %}`."""
    said = "" if word == "coach's eye" else reason or ""  # its words are the reason already
    return _call(get_language(), word, str(said))


@register.simple_tag
def rate(name: str, chosen: str = "", label: str = "") -> SafeString:
    """The coach's word as three radio buttons: `{% rate "rate-down_front_knee" rating.rate "Front knee bend" %}`."""
    return _rate(get_language(), name, str(chosen), str(label))


def _kept(make: Callable[..., SafeString]) -> Callable[..., SafeString]:
    """The desk shows some thirty of each at once, again after each correction: what was made of the same words is made once."""
    once = lru_cache(maxsize=512)(make)
    return lambda *given: make(*given) if settings.DEBUG else once(*given)


@_kept
def _module(_address: str, name: str) -> SafeString:
    """The module's own address names a state of all that it imports: it holds their addresses, and a digest of itself."""
    return render_to_string("components/module.html", {"name": name, "imported": imported(name)})


@_kept
def _call(_language: str | None, word: str, reason: str) -> SafeString:
    about = {"shape": words.CALL_SHAPES.get(word, "unread"), "words": words.call_words(word), "reason": reason}
    return render_to_string("components/call.html", about)


@_kept
def _rate(_language: str | None, name: str, chosen: str, label: str) -> SafeString:
    about = {"name": name, "chosen": chosen, "label": label, "rates": ["good", "watch", "work_on"]}
    return render_to_string("components/rate.html", about)


@register.inclusion_tag("components/pager.html", takes_context=True)
def pager(context: template.Context, page: Any) -> dict[str, Any]:
    """Older and newer pages of a Django `Page`, other query parameters kept."""
    query = context["request"].GET.copy() if "request" in context else None

    def to(number: int) -> str:
        if query is None:
            return f"?page={number}"
        query["page"] = str(number)
        return f"?{query.urlencode()}"

    return {
        "page": page,
        "before": to(page.previous_page_number()) if page.has_previous() else "",
        "after": to(page.next_page_number()) if page.has_next() else "",
    }


@register.inclusion_tag("components/empty.html")
def empty(title: str, text: str = "", href: str = "", link: str = "") -> dict[str, Any]:
    """Nothing here yet: what would stand here, and the way to get it."""
    return {"title": title, "text": text, "href": href, "link": link}


@register.inclusion_tag("components/progress.html")
def progress(done: float, total: float, text: str = "", label: str = "") -> dict[str, Any]:
    """A bar with its number. Without a known total the bar says only that something goes on."""
    known = total and total > 0
    return {"percent": round(100 * min(done / total, 1)) if known else None, "text": text, "label": label}
