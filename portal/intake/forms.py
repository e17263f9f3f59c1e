"""Forms of the way from the invite link to the clip."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp
from portal.intake import consent, wording
from portal.intake.models import Submission
from portal.people import of_age
from portal.people.forms import PlayerForm
from portal.people.models import Player, User
from portal.people.names import plain_name

MINE, MY_CHILD = "myself", "child"


class ConsentForm(forms.Form):
    """What is agreed to before anything is stored. Nothing is ticked beforehand."""

    agree = forms.BooleanField(
        error_messages={"required": _("Without this we may not keep the clip. Tick it if you agree.")}
    )
    training_too = forms.BooleanField(required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        words = wording.WORDINGS[wording.CURRENT]
        self.fields["agree"].label = words.agree
        self.fields["training_too"].label = words.training


class WhoForm(PlayerForm):
    """A new player and the consent for them, on one page; both are stored together or not at all."""

    who = forms.ChoiceField(
        label=_("Who is it?"),
        choices=[(MY_CHILD, _("My child")), (MINE, _("I am the player myself"))],
        widget=forms.RadioSelect,
        initial=MY_CHILD,
    )
    your_name = forms.CharField(
        label=_("Your own name"),
        max_length=80,
        validators=[plain_name],
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    field_order = ["who", "first_name", "birth_year", "hits", "sport", "your_name"]

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        if user.name:
            del self.fields["your_name"]
        if Player.objects.filter(user=user).exists():
            del self.fields["who"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        year = data.get("birth_year")
        if self.is_self and year and not Player(birth_year=year).may_be_adult:
            self.add_error(
                "birth_year",
                _("Under 18, a parent or guardian has to agree. Please open the invite link together with them."),
            )
        return data

    @property
    def is_self(self) -> bool:
        return self.cleaned_data.get("who") == MINE

    @transaction.atomic
    def save_with(self, camp: Camp, agreed: ConsentForm) -> Player:
        """The player, whose they are, and the consent under which they are kept."""
        if name := self.cleaned_data.get("your_name"):
            self.user.name = name
            self.user.save(update_fields=["name"])
        self.instance.user = self.user if self.is_self else None
        player = self.save()
        if self.is_self:  # the words they agree to say that they are 18
            of_age.call_adult(player, self.user)
        if not self.is_self:
            player.guardians.add(self.user)
        consent.give(player, camp, self.user, training_too=agreed.cleaned_data["training_too"])
        return player


class NoteForm(forms.ModelForm):
    """A word for the coach."""

    class Meta:
        model = Submission
        fields = ["note"]
        labels = {"note": _("Your note")}
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}


class ClipForm(forms.Form):
    """The plain way to send a clip, for a browser without our script."""

    clip = forms.FileField(
        label=_("The clip"),
        allow_empty_file=True,  # refused with our own words later
        widget=forms.FileInput(attrs={"accept": "video/*,.mp4,.mov,.m4v,.webm"}),
        error_messages={"required": _("Choose the clip first.")},
    )
