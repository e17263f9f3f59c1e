"""Whose address it is: a code that was mailed to an address and typed in proves it, whoever made the account.

django-allauth remembers proven addresses in rows of its own. An account that came from the terminal, the admin or an
invitation has no such row yet; without one, a sign-in by code would ask for a second code right after the first.
"""

from __future__ import annotations

from typing import Any

from allauth.account.models import EmailAddress
from allauth.account.signals import authentication_step_completed
from django.dispatch import receiver

from portal.people.models import User


@receiver(authentication_step_completed)
def remember_address(user: User, method: str, email: str | None = None, **kwargs: Any) -> None:
    """Before the sign-in asks whether the address is proven: give it its row, which the code then marks as proven."""
    if method == "code" and email and email.lower() == user.email.lower():
        row_of(user)


def row_of(user: User) -> EmailAddress:
    """The row of the account's address; the rows of addresses that it had before go, and sign nobody in any more."""
    EmailAddress.objects.filter(user=user).exclude(email__iexact=user.email).delete()
    row, _ = EmailAddress.objects.get_or_create(user=user, email=user.email.lower(), defaults={"primary": True})
    return row


def take_as_proven(user: User) -> None:
    """For an account that was made at the terminal: who sits there needs no code to prove anything."""
    row_of(user)
    EmailAddress.objects.filter(user=user).update(verified=True)
