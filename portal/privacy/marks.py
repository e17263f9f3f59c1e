"""Marks in the place of names: a hash that tells who it was to somebody who knows already, and to nobody else."""

from __future__ import annotations

import hashlib
from datetime import datetime
from uuid import UUID

from django.utils.crypto import salted_hmac

from portal.people.models import User


def mark_of(player_id: UUID) -> str:
    """The mark of a player: ids are drawn at random, and the key is this site's."""
    return salted_hmac("portal.privacy.marks", str(player_id), algorithm="sha256").hexdigest()


def player_key(player_id: UUID) -> str:
    return str(player_id)


def account_key(user: User) -> str:
    """What names an account beyond its number: a restored database gives numbers out once more."""
    return f"{user.pk} {user.date_joined.timestamp():.6f}"


def consent_key(number: int, given_at: datetime) -> str:
    return f"{number} {given_at.timestamp():.6f}"


def hashed(salt: str, kind: str, key: str) -> str:
    return hashlib.sha256(f"{salt} {kind} {key}".encode()).hexdigest()
