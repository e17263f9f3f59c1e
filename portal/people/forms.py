"""Forms about people."""

from __future__ import annotations

from datetime import date
from typing import Any

from allauth.core import ratelimit
from django import forms
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from portal.people.models import Hits, Player, Sport, User

YOUNGEST, OLDEST = 4, 90
OWN_SIGN_IN_FROM = 13


class EntranceForm(forms.Form):
    """The e-mail address to which a sign-in code goes."""

    email = forms.EmailField(
        label=_("Your e-mail"),
        widget=forms.EmailInput(attrs={"autocomplete": "email", "inputmode": "email"}),
        error_messages={"invalid": _("This does not look like an e-mail address. It needs an @ and a dot.")},
    )

    def __init__(self, *args: Any, request: HttpRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request

    def clean_email(self) -> str:
        email = self.cleaned_data["email"].lower()
        if not ratelimit.consume(self.request, action="request_login_code", key=email):
            raise forms.ValidationError(_("That were many codes in a short time. Wait a minute, then try again."))
        return email


class PlayerForm(forms.ModelForm):
    """What an evaluation needs to know about a hitter, and no more."""

    birth_year = forms.IntegerField(
        label=_("Birth year"),
        widget=forms.TextInput(attrs={"inputmode": "numeric", "maxlength": 4, "autocomplete": "off"}),
        error_messages={"invalid": _("Write the year with four digits, such as 2014.")},
    )

    class Meta:
        model = Player
        fields = ["first_name", "birth_year", "hits", "sport"]
        labels = {"first_name": _("First name"), "hits": _("Hits"), "sport": _("Sport")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["first_name"].widget.attrs.update(autocomplete="off", autocapitalize="words")
        self.fields["hits"] = forms.ChoiceField(
            label=_("Hits"),
            required=False,
            choices=[("", _("I don’t know")), *((h.value, h.label) for h in Hits if h.value)],
        )
        self.fields["sport"] = forms.ChoiceField(label=_("Sport"), choices=Sport.choices)

    def clean_birth_year(self) -> int:
        year, now = self.cleaned_data["birth_year"], date.today().year
        if not now - OLDEST <= year <= now - YOUNGEST:
            raise forms.ValidationError(
                _("Hitters are between %(youngest)d and %(oldest)d years old. Is the year right?")
                % {"youngest": YOUNGEST, "oldest": OLDEST}
            )
        return year


class PlayerInviteForm(forms.Form):
    """The address to which a player's own sign-in is offered."""

    email = forms.EmailField(
        label=_("The player’s e-mail"),
        widget=forms.EmailInput(attrs={"autocomplete": "off", "inputmode": "email"}),
    )

    def __init__(self, *args: Any, player: Player, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.player = player

    def clean_email(self) -> str:
        email = self.cleaned_data["email"].lower()
        user = User.objects.filter(email__iexact=email).first()
        if user and self.player.guardians.filter(pk=user.pk).exists():
            raise forms.ValidationError(_("That is a guardian’s address. The player needs their own."))
        return email


class NameForm(forms.ModelForm):
    """What to call somebody."""

    class Meta:
        model = User
        fields = ["name"]
        labels = {"name": _("Your name")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].required = True
        self.fields["name"].widget.attrs["autocomplete"] = "name"
