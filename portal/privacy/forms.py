"""Forms of erasing and of the privacy page."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _


class EraseForm(forms.Form):
    """One tick, so that no slip of a finger erases anybody."""

    sure = forms.BooleanField(
        label=_("Yes, erase all of this for good."),
        error_messages={"required": _("Tick this if you want it erased. Else leave the page, and nothing happens.")},
    )
