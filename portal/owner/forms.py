"""Forms of the owner's pages."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp
from portal.outbox.post_office import has_server
from portal.owner.models import Site
from portal.people.history import own_players
from portal.people.models import User


class OwnerForm(forms.Form):
    """Who keeps the site running."""

    name = forms.CharField(
        label=_("Your name"), max_length=80, widget=forms.TextInput(attrs={"autocomplete": "name"}),
        help_text=_("As coaches and families read it."),
    )  # fmt: skip
    email = forms.EmailField(
        label=_("Your email"), widget=forms.EmailInput(attrs={"autocomplete": "email", "inputmode": "email"}),
        help_text=_("You sign in with it, and codes go there: look at it twice."),
    )  # fmt: skip
    password = forms.CharField(
        label=_("A password"), required=False, strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["password"]
        if has_server():
            field.help_text = _("At least ten characters. Left empty, you sign in by codes that we email you.")
        else:
            field.required = True
            field.help_text = _("At least ten characters. (No mail server is named, so no code would reach you.)")

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        if password:
            about = User(email=self.cleaned_data.get("email", ""), name=self.cleaned_data.get("name", ""))
            validate_password(password, about)
        return password


class SiteForm(forms.ModelForm):
    class Meta:
        model = Site
        fields = ["name"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].required = True
        self.fields["name"].widget.attrs["autocomplete"] = "off"


class CoachInviteForm(forms.Form):
    """Whom to invite, and to which camps. A family's address is taken once ALL_THE_SAME names it, and asked about before:
    then it stands in `asks_about`.
    """

    ALL_THE_SAME = "all_the_same"

    email = forms.EmailField(
        label=_("The coach’s email"), widget=forms.EmailInput(attrs={"autocomplete": "off", "inputmode": "email"})
    )
    camps = forms.ModelMultipleChoiceField(
        label=_("Camps to coach"), queryset=Camp.objects.none(), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by = by
        self.asks_about = ""
        camps = Camp.objects.all()
        self.fields["camps"].queryset = camps  # type: ignore[attr-defined]
        if not camps.exists():
            del self.fields["camps"]

    def clean_email(self) -> str:
        email: str = self.cleaned_data["email"].lower()
        if email == self.by.email.lower():
            raise forms.ValidationError(
                _(
                    "That is your own address. You need no invitation to coach here: your own page among the coaches does it."
                )
            )
        user = User.objects.filter(email__iexact=email).first()
        if user is not None and user.is_coach:
            raise forms.ValidationError(_("That is a coach here already."))
        if user is not None and not user.is_owner and own_players(user):
            self._ask_once_more(email)
        return email

    def _ask_once_more(self, email: str) -> None:
        if self.data.get(self.ALL_THE_SAME, "").lower() == email:
            return
        self.asks_about = email
        raise forms.ValidationError(
            _(
                "This address belongs to a family. As a coach it would see all children’s film of the camp. "
                "Invite it all the same?"
            )
        )


class CampCoachesForm(forms.Form):
    """Who coaches a camp."""

    coaches = forms.ModelMultipleChoiceField(
        label=_("Coaches"), queryset=User.objects.none(), widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("A camp needs at least one coach: somebody has to answer its families.")},
    )  # fmt: skip

    def __init__(self, *args: Any, camp: Camp, **kwargs: Any) -> None:
        kwargs["initial"] = {"coaches": camp.coaches.all()}
        super().__init__(*args, **kwargs)
        able = User.objects.filter(Q(is_coach=True) | Q(is_staff=True), is_active=True)
        self.fields["coaches"].queryset = able.order_by("name", "email")  # type: ignore[attr-defined]
