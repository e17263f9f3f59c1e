"""The form of a camp."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp

LONGEST_TURNAROUND = 60
LONGEST_KEPT = 120  # months


class CampForm(forms.ModelForm):
    class Meta:
        model = Camp
        fields = ["name", "place", "starts_on", "ends_on", "turnaround_days", "film_months", "pages_months", "welcome"]
        labels = {
            "turnaround_days": _("Days to an evaluation"),
            "film_months": _("Months that film is kept"),
            "pages_months": _("Months that evaluations are kept"),
        }
        help_texts = {
            "turnaround_days": _("Families read this as your promise, counted from the day the clip arrives."),
            "film_months": _(
                "Counted from the end of the camp, or from a player’s last clip if that comes later. Then film, stills and tracks "
                "are deleted; families are told 30 and 7 days before."
            ),
            "pages_months": _("Counted likewise. Then the evaluation and the player’s place in the camp go, too."),
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

    def clean_film_months(self) -> int:
        return _months(self.cleaned_data["film_months"])

    def clean_pages_months(self) -> int:
        return _months(self.cleaned_data["pages_months"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        first, last = data.get("starts_on"), data.get("ends_on")
        if first and last and last < first:
            self.add_error("ends_on", _("The last day lies before the first."))
        film, pages = data.get("film_months"), data.get("pages_months")
        if film and pages and pages < film:
            self.add_error("pages_months", _("Evaluations can’t go before their film."))
        return data


def _months(months: int) -> int:
    if not 1 <= months <= LONGEST_KEPT:
        raise forms.ValidationError(
            _("Between 1 and %(most)d months: nothing is kept forever.") % {"most": LONGEST_KEPT}
        )
    return months
