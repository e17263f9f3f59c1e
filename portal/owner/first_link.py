"""The one-time link by which whoever runs the machine becomes the site's owner.

The terminal shows it while there is no owner; the database keeps only its hash. It ends when it has been used, when a new
one is made, and when an owner comes to be in another way.
"""

from __future__ import annotations

import hashlib
import secrets

from django.conf import settings
from django.db import transaction
from django.urls import reverse

from portal.owner.models import Site
from portal.people import proving
from portal.people.models import User


class LinkSpent(Exception):
    """The link opens nothing (any more)."""


def has_owner() -> bool:
    return User.objects.filter(is_staff=True, is_active=True).exists()


def new_link() -> str | None:
    """The address to show in the terminal; the one before opens nothing from now on. None where there is an owner."""
    if has_owner():
        return None
    token = secrets.token_urlsafe(32)
    Site.objects.filter(pk=Site.get().pk).update(first_link=_hash(token))
    return settings.SITE_URL + reverse("first_start_link", args=[token])


def check(token: str) -> None:
    """Raises LinkSpent unless this is the link that the terminal shows."""
    if has_owner() or not Site.objects.filter(first_link=_hash(token)).exists():
        raise LinkSpent


@transaction.atomic
def make_owner(token: str, name: str, email: str, password: str | None) -> User:
    """Make the owner, once: of two that send the form at the same time one gets LinkSpent.

    The address counts as proven, and an account that it has already becomes the owner's: who reads the terminal could do
    all of this without us.
    """
    check(token)
    if Site.objects.filter(first_link=_hash(token)).update(first_link="") != 1:
        raise LinkSpent
    user = User.objects.filter(email__iexact=email).first() or User(email=email.lower())
    user.name, user.is_staff, user.is_superuser, user.is_active = name, True, True, True
    user.set_password(password or None)
    user.save()
    proving.take_as_proven(user)
    return user


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
