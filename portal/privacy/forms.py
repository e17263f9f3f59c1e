"""Forms of erasing and of the privacy page."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from portal.privacy.models import PrivacyText


class EraseForm(forms.Form):
    """One tick, so that no slip of a finger erases anybody."""

    sure = forms.BooleanField(
        label=_("Yes, erase all of this for good."),
        error_messages={"required": _("Tick this if you want it erased. Else leave the page, and nothing happens.")},
    )


class PrivacyTextForm(forms.ModelForm):
    """What the owner adds to the privacy page. The rest of it follows from the settings, so that it stays true."""

    class Meta:
        model = PrivacyText
        fields = ["whom_to_ask", "words"]
        labels = {"whom_to_ask": _("Whom to ask"), "words": _("Your own words")}
        help_texts = {
            "words": _("Plain paragraphs with an empty line between them. Families read them at the top of the page."),
        }
        widgets = {"words": forms.Textarea(attrs={"rows": 8})}
