"""The set-up of a drill: where tee and feet go, how often, how many days. Coded values with their words, so that the
same set-up can be read, edited and drawn.

A set-up is a dict with the keys of `DEFAULTS`; a key that is missing counts as its default.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

BALL = {
    "none": _("no ball"),
    "tee": _("ball on a tee"),
    "soft_toss": _("ball tossed gently from the side"),
    "front_toss": _("ball tossed underhand from the front, from behind a screen"),
}
TEE_HEIGHT = {
    "": _("as you like"),
    "knee": _("at your knees"),
    "thigh": _("halfway up your thigh"),
    "belt": _("at your belt"),
    "chest": _("just under your chest"),
}
TEE_ACROSS = {
    "inside": _("on your side of the plate"),
    "middle": _("in the middle"),
    "outside": _("on the far side of the plate"),
}
TEE_DEPTH = {
    "ahead": _("a shoe’s length ahead of the plate"),
    "front": _("level with the front of the plate"),
    "deep": _("over the middle of the plate"),
}
STRIDE_FOOT = {
    "stay": _("both feet stay where they are"),
    "straight": _("straight toward the pitcher, toes still facing the plate"),
    "short": _("only a short step, one shoe long"),
    "closed": _("a little toward the plate"),
    "lift": _("lift it and put it down in the same place"),
}
FLIES = {
    "": _("nowhere: nothing is hit"),
    "middle": _("back up the middle, at the height of a pitcher’s cap"),
    "pull": _("on a line to your own side of the field"),
    "opposite": _("on a line to the far side of the field"),
    "net": _("straight into the net"),
}

DEFAULTS: dict[str, Any] = {
    "ball": "tee",
    "tee_height": "belt",
    "tee_across": "middle",
    "tee_depth": "front",
    "stride_foot": "straight",
    "flies": "middle",
    "rounds": 3,
    "swings": 6,
    "days": 3,
}
CHOICES: dict[str, Mapping[str, Any]] = {
    "ball": BALL,
    "tee_height": TEE_HEIGHT,
    "tee_across": TEE_ACROSS,
    "tee_depth": TEE_DEPTH,
    "stride_foot": STRIDE_FOOT,
    "flies": FLIES,
}
COUNTS = {"rounds": (1, 10), "swings": (1, 20), "days": (1, 7)}


class SetUpFault(ValueError):
    """A set-up holds something that is no set-up; the message names every fault."""


def completed(set_up: Mapping[str, Any] | None) -> dict[str, Any]:
    """The set-up with defaults for what is missing.

    Raises
    ------
    SetUpFault
        Naming every key that is unknown and every value that is not among the choices.
    """
    whole = {**DEFAULTS, **(set_up or {})}
    faults = [fault for key, value in whole.items() if (fault := _fault(key, value))]
    if faults:
        raise SetUpFault("; ".join(faults))
    return whole


def _fault(key: str, value: object) -> str:
    if key in CHOICES:
        choices = CHOICES[key]
        known = isinstance(value, str) and value in choices
        return "" if known else f"{key} must be one of {', '.join(repr(c) for c in choices)}, got {_short(value)}"
    if key in COUNTS:
        least, most = COUNTS[key]
        whole = isinstance(value, int) and not isinstance(value, bool) and least <= value <= most
        return "" if whole else f"{key} must be a whole number from {least} to {most}, got {_short(value)}"
    return f"there is no {_short(key)} in a set-up"


def _short(value: object) -> str:
    return repr(value)[:60]


def in_words(set_up: Mapping[str, Any] | None) -> list[tuple[str, str]]:
    """The set-up as (what, words) pairs for a family, in the order in which it is built up."""
    whole = completed(set_up)
    rows = [(_now("Ball"), str(BALL[whole["ball"]]))]
    if whole["ball"] == "tee":
        rows.append((_now("Tee"), _tee_words(whole)))
    rows.append((_now("Front foot"), str(STRIDE_FOOT[whole["stride_foot"]])))
    if whole["ball"] != "none" and whole["flies"]:
        rows.append((_now("Ball flies"), str(FLIES[whole["flies"]])))
    rows.append((_now("How often"), how_often(whole)))
    return rows


def _tee_words(whole: Mapping[str, Any]) -> str:
    height = [str(TEE_HEIGHT[whole["tee_height"]])] if whole["tee_height"] else []
    return ", ".join([*height, str(TEE_ACROSS[whole["tee_across"]]), str(TEE_DEPTH[whole["tee_depth"]])])


def how_often(set_up: Mapping[str, Any] | None) -> str:
    """ "4 rounds of 6, on 3 days"."""
    whole = completed(set_up)
    rounds = ngettext("%(n)d round of %(swings)d", "%(n)d rounds of %(swings)d", whole["rounds"])
    days = ngettext("on %(n)d day this week", "on %(n)d days this week", whole["days"])
    return f"{rounds % {'n': whole['rounds'], 'swings': whole['swings']}}, {days % {'n': whole['days']}}"
