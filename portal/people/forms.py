"""Forms about people."""

from __future__ import annotations

from datetime import date
from typing import Any

from allauth.core import ratelimit
from django import forms
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from portal.people.models import PRONOUNS, Hits, Player, Sport, User

YOUNGEST, OLDEST = 4, 90
OWN_SIGN_IN_FROM = 13


class EntranceForm(forms.Form):
    """The email address to which a sign-in code goes."""

    email = forms.EmailField(
        label=_("Your email"),
        widget=forms.EmailInput(attrs={"autocomplete": "email", "inputmode": "email"}),
        error_messages={"invalid": _("This does not look like an email address. It needs an @ and a dot.")},
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


class EditPlayerForm(PlayerForm):
    """The same later on, and what the coach's sentences say; nobody is asked for that on the way in."""

    class Meta(PlayerForm.Meta):
        fields = [*PlayerForm.Meta.fields, "pronoun"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pronoun"] = forms.ChoiceField(
            label=_("Evaluations say"),
            required=False,
            choices=[("", _("as the coach chooses")), *PRONOUNS.items()],
        )


class OwnPlayerForm(EditPlayerForm):
    """What players say of themselves. When they were born is said by who decides about their age."""

    birth_year = None  # type: ignore[assignment]

    class Meta(EditPlayerForm.Meta):
        fields = ["first_name", "hits", "sport", "pronoun"]


class AgeForm(forms.Form):
    """When a player was born and who speaks for them."""

    MINOR, ADULT = "minor", "adult"

    birth_year = PlayerForm.base_fields["birth_year"]

    def __init__(self, *args: Any, player: Player, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.player = player
        name = {"name": player.first_name}
        self.fields["speaks"] = forms.ChoiceField(
            label=_("Who speaks for this player?"),
            widget=forms.RadioSelect,
            choices=[
                (self.MINOR, _("A parent or guardian: %(name)s is under 18") % name),
                (self.ADULT, _("%(name)s alone: 18 years old or older, as of today") % name),
            ],
        )

    def clean_birth_year(self) -> int:
        return PlayerForm.clean_birth_year(self)  # type: ignore[arg-type]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        year = data.get("birth_year")
        if year and data.get("speaks") == self.ADULT and not Player(birth_year=year).may_be_adult:
            self.add_error("speaks", _("Born in %(year)d nobody is 18 yet. One of the two is wrong.") % {"year": year})
        return data


class PlayerInviteForm(forms.Form):
    """The address to which a player's own sign-in is offered."""

    email = forms.EmailField(
        label=_("The player’s email"),
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


class GuardianInviteForm(forms.Form):
    """The address of somebody who is to be a player's guardian."""

    email = forms.EmailField(
        label=_("The guardian’s email"),
        widget=forms.EmailInput(attrs={"autocomplete": "off", "inputmode": "email"}),
    )

    def __init__(self, *args: Any, player: Player, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.player = player

    def clean_email(self) -> str:
        email = self.cleaned_data["email"].lower()
        if self.player.user and self.player.user.email.lower() == email:
            raise forms.ValidationError(_("That is the player’s own address. A guardian needs another one."))
        if self.player.guardians.filter(email__iexact=email).exists():
            raise forms.ValidationError(_("This is a guardian’s address already."))
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
