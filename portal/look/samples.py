"""Invented contents for the component page: every component in every state that it has."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _


def reading(name: str, value: float | None, call: str, **more: Any) -> dict[str, Any]:
    """A reading as the read package gives it, with its name."""
    fields = {"unit": "°", "interval": None, "band": (25, 60), "scale": (0, 90), "reason": "", "rating": ""}
    return {"name": name, "value": value, "call": call, **fields, **more}


READINGS = [
    reading("Front knee bend", 44, "in range", interval=(39, 49), rating="good"),
    reading("Stride foot open", 31, "in range", interval=(22, 40), band=(None, 45), rating="good"),
    reading("Bat above level", 42, "too close to call", interval=(36, 48), band=(45, 70), rating="watch"),
    reading(
        "Head over the middle",
        9,
        "out of range",
        unit="%",
        interval=(6.8, 11.2),
        band=(-5, 5),
        scale=(-15, 15),
        rating="work_on",
    ),
    reading(
        "Foot down to swing start",
        410,
        "out of range",
        unit="ms",
        interval=(392, 428),
        band=(40, 200),
        scale=(-100, 300),
    ),
    reading(
        "Base width",
        0.6,
        "out of range",
        unit="× shoulder width",
        interval=(0.5, 0.72),
        band=(1.2, 2),
        scale=(0.8, 2.6),
    ),
    reading("Hips square", 12, "too close to call", interval=(-11, 38), band=(None, 20), scale=(-20, 60)),
    reading(
        "Contact, front knee",
        None,
        "not readable",
        reason=_("contact fell between two frames. Film at 120 or more a second"),
    ),
    reading("Palms at contact", None, "coach's eye", scale=None, band=None, unit=""),
]

STEPS = [
    {"words": _("Received"), "when": _("Monday, 18:42"), "is": "done"},
    {"words": _("Measured: 3 swings found"), "when": "", "is": "done"},
    {"words": _("Waiting for the coach, 5 before Ida"), "when": _("promised by Friday"), "is": "now"},
    {"words": _("Evaluation and drills"), "when": "", "is": "to_come"},
]

STOPPED_STEPS = [
    {"words": _("Received"), "when": _("Monday, 18:42"), "is": "done"},
    {"words": _("Please film again: the feet are cut off"), "when": "", "is": "stop"},
    {"words": _("Evaluation and drills"), "when": "", "is": "to_come"},
]

CHECKS = [
    {"ok": True, "words": _("Whole body in the picture, feet too")},
    {"ok": True, "words": _("240 frames a second")},
    {"ok": False, "words": _("Home plate is cut off: the stride foot’s angle will be an estimate")},
]


class SampleForm(forms.Form):
    """One field of each kind."""

    first_name = forms.CharField(label=_("First name"), help_text=_("As the coach should call the player."))
    birth_year = forms.IntegerField(label=_("Birth year"), min_value=1930, max_value=2024)
    hits = forms.ChoiceField(
        label=_("Hits"),
        choices=[("right", _("right")), ("left", _("left")), ("both", _("both"))],
        widget=forms.RadioSelect,
    )
    level = forms.ChoiceField(label=_("Level"), choices=[("child", _("up to 10")), ("youth", _("11 to 15"))])
    note = forms.CharField(label=_("Note for the coach"), required=False, widget=forms.Textarea(attrs={"rows": 3}))
    clip = forms.FileField(label=_("Clip"), required=False)
    consent = forms.BooleanField(
        label=_(
            "I am the player’s parent or guardian, and the coaches of this camp may use the clips for the evaluation."
        ),
        help_text=_("You can take this back at any time."),
    )
