"""What a family sends back: a tick for a day, a question; and the coach's answer."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from portal.evaluations.models import Evaluation
from portal.evaluations.practice import days_of


class TickForm(forms.Form):
    """One drill of the plan, one of the last seven days since it was given, done or not."""

    drill = forms.CharField(max_length=60)
    day = forms.DateField()
    done = forms.BooleanField(required=False)

    def __init__(self, evaluation: Evaluation, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._days = days_of(evaluation)
        self._slugs = {drill["slug"] for drill in evaluation.snapshot.get("plan", [])}

    def clean_drill(self) -> str:
        drill: str = self.cleaned_data["drill"]
        if drill not in self._slugs:
            raise forms.ValidationError(_("This drill is not in the plan."))
        return drill

    def clean_day(self) -> Any:
        day = self.cleaned_data["day"]
        if day not in self._days:
            raise forms.ValidationError(
                _("Only days of the last week can be ticked, from the day the drill was given.")
            )
        return day


class AskForm(forms.Form):
    words = forms.CharField(
        label=_("Your question"),
        help_text=_(
            "Your coach gets an email about it. Everyone who can read this page can read your question and the answer."
        ),
        min_length=3,
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": _("Please write your question first.")},
    )


class AnswerForm(forms.Form):
    words = forms.CharField(
        label=_("Your answer"),
        help_text=_("It stands here, and the family gets it by email."),
        max_length=3000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": _("Please write your answer first.")},
    )

    @staticmethod
    def ids(question: int) -> str:
        """The pattern of its ids: several stand on one page."""
        return f"id_answer_{question}_%s"
