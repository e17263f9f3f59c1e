"""The first code of an app, by which it is set up: nobody has recovery codes yet, so a wrong one speaks of none."""

from __future__ import annotations

from allauth.mfa.totp.forms import ActivateTOTPForm
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _


class SetUpCodeForm(ActivateTOTPForm):
    """As allauth has it, with words that fit."""

    def clean_code(self) -> str:
        """The six digits; raises ValidationError where they are not those of the app now."""
        try:
            return str(super().clean_code())
        except ValidationError as error:
            if error.code != "incorrect_code":
                raise
            raise ValidationError(
                _(
                    "Those are not the six digits that the app shows now. They change every half minute; "
                    "where they never fit, the phone’s clock is wrong."
                ),
                code=error.code,
            ) from None
