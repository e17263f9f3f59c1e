"""The form of a camp."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp

LONGEST_TURNAROUND = 60


class CampForm(forms.ModelForm):
    class Meta:
        model = Camp
        fields = ["name", "place", "starts_on", "ends_on", "turnaround_days", "welcome"]
        labels = {"turnaround_days": _("Days to an evaluation")}
        help_texts = {
            "turnaround_days": _("Families read this as your promise, counted from the day the clip arrives."),
            "welcome": _("Stands on the page that the invite link opens."),
        }
        widgets = {
            "starts_on": forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
            "ends_on": forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
            "welcome": forms.Textarea(attrs={"rows": 4}),
        }

    def clean_turnaround_days(self) -> int:
        days = self.cleaned_data["turnaround_days"]
        if not 1 <= days <= LONGEST_TURNAROUND:
            raise forms.ValidationError(_("Promise between 1 and %(most)d days.") % {"most": LONGEST_TURNAROUND})
        return days

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        first, last = data.get("starts_on"), data.get("ends_on")
        if first and last and last < first:
            self.add_error("ends_on", _("The last day lies before the first."))
        return data
