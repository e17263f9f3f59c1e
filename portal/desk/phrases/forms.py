"""A phrase as a coach writes it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from portal.desk.doubts.names import WORD, named
from portal.desk.models import Phrase
from portal.desk.phrases.book import PARTS, names_around
from portal.desk.phrases.places import unknown, without_names
from portal.measuring.door import CHECKPOINTS

MOST_PHRASES = 300


class PhraseForm(forms.ModelForm):
    """Names of players become the place {name}, so that no phrase carries one child's name to another."""

    checkpoint = forms.ChoiceField(
        required=False, choices=[("", ""), *((entry.id, entry.name) for entry in CHECKPOINTS)]
    )
    part = forms.ChoiceField(required=False, choices=[("", ""), *((part, part) for part in PARTS)])
    side = forms.ChoiceField(required=False, choices=[("", ""), ("low", "low"), ("high", "high"), ("good", "good")])

    class Meta:
        model = Phrase
        fields = ("text", "part", "checkpoint", "side")
        widgets = {"text": forms.Textarea(attrs={"rows": 2, "maxlength": 400})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.has_put_name = False

    def clean_text(self) -> str:
        text: str = self.cleaned_data["text"].strip()
        if odd := unknown(text):
            raise forms.ValidationError(_("“%(odd)s” is no place. Use one of those below."), params={"odd": odd[0]})
        words = {word for name in names_around(self.instance.coach) for word in WORD.findall(name) if len(word) > 1}
        free = without_names(text, named(text, words))
        self.has_put_name = free != text
        return free

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or self.cleaned_data
        others = Phrase.objects.filter(coach=self.instance.coach).exclude(pk=self.instance.pk)
        if others.filter(text=said.get("text")).exists():
            self.add_error("text", _("You have this phrase already."))
        elif self.instance.pk is None and others.count() >= MOST_PHRASES:
            self.add_error("text", _("Your phrase book is full (300 phrases). Delete some that you do not use."))
        return said
