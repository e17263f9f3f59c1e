"""Template tags of the drill library: `{% load drills %}`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import template
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from portal.drills import set_up as set_ups
from portal.drills.cautions import cautions
from portal.drills.diagram_svg import PRINT, drawing
from portal.drills.fitting import BOTH, HIGH, LOW, SIDES
from portal.measuring.door import Checkpoint, checkpoint

register = template.Library()


@register.simple_tag
def drill_above(set_up: Mapping[str, Any], hits: str = "right") -> SafeString:
    """The set-up drawn from above. Every text in the drawing is escaped where it is put in."""
    return mark_safe(drawing(set_up, hits))


@register.simple_tag
def drill_above_print(set_up: Mapping[str, Any], hits: str = "right") -> SafeString:
    """The same in the fixed colours of print."""
    return mark_safe(drawing(set_up, hits, PRINT))


@register.filter
def set_up_words(set_up: Mapping[str, Any]) -> list[tuple[str, str]]:
    return set_ups.in_words(set_up)


@register.filter
def all_cautions(drill: Any) -> list[str]:
    """The cautions of a `Drill`, the general ones first."""
    return cautions(set_ups.completed(drill.set_up)["ball"], drill.cautions)


@register.filter
def trained(drill: Any) -> list[dict[str, str]]:
    """The checkpoints that a `Drill` trains, each with what it is there that the drill is against: "too bent"."""
    return [_trained(checkpoint(entry), drill.against.get(entry, "")) for entry in drill.trains]


def _trained(entry: Checkpoint, against: str) -> dict[str, str]:
    low, high = (_(entry.side_words(side)) for side in SIDES)
    both = _("%(low)s or %(high)s") % {"low": low, "high": high} if against == BOTH else ""
    side = both or {LOW: low, HIGH: high}.get(against) or ("" if entry.by_eye else _("which side is not said"))
    return {"id": entry.id, "name": _(entry.name), "side": side}
