"""Coaches come by invitation: an email with a signed link, which proves nothing by itself; the code that follows does."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from django.core import signing
from django.db import transaction
from django.utils import timezone

from portal.camps.models import Camp
from portal.outbox import emails
from portal.owner.models import CoachInvite
from portal.people import limits
from portal.people.models import User

SALT = "coach-invite"


class InviteSpent(Exception):
    """The link is too old, was taken back or changed on the way, or has done its work."""


@transaction.atomic
def invite(by: User, email: str, camps: Iterable[Camp] = ()) -> CoachInvite:
    """Send somebody a link that makes them a coach. Raises limits.TooMany. An open invitation of theirs ends with it."""
    limits.take_invitation(by)
    CoachInvite.objects.filter(email__iexact=email, accepted_at=None, revoked_at=None).update(revoked_at=timezone.now())
    made = CoachInvite.objects.create(email=email.lower(), by=by)
    made.camps.set(camps)
    emails.send(
        "coach_invite",
        [made.email],
        secret=True,
        by=by,
        days=CoachInvite.DAYS,
        link=emails.link_to("join_coach", token_for(made)),
    )
    return made


def token_for(made: CoachInvite) -> str:
    """A signed token that holds the invitation's number alone; the row says whether it still counts."""
    return signing.dumps({"invite": made.pk}, salt=SALT)


def read_token(token: str) -> CoachInvite:
    """The open invitation behind a token. Raises InviteSpent."""
    try:
        held = signing.loads(token, salt=SALT, max_age=CoachInvite.DAYS * 24 * 3600)
    except signing.BadSignature as error:
        raise InviteSpent from error
    made = CoachInvite.objects.filter(pk=held["invite"], by__is_staff=True, by__is_active=True).first()
    if made is None or not made.is_open:
        raise InviteSpent
    return made


def is_coming_in(user: User) -> bool:
    """Whether somebody came by an open invitation and has not said their name yet: till then they are nothing here."""
    since = timezone.now() - timedelta(days=CoachInvite.DAYS)
    still_open = CoachInvite.objects.filter(accepted_at=None, revoked_at=None, sent_at__gt=since)
    return not user.name and still_open.filter(email__iexact=user.email).exists()


@transaction.atomic
def accept(made: CoachInvite, user: User, name: str) -> None:
    """Make `user`, who has proven the address, a coach of the invitation's camps. Raises InviteSpent."""
    still_open = CoachInvite.objects.filter(pk=made.pk, accepted_at=None, revoked_at=None)
    if user.email.lower() != made.email or not still_open.update(accepted_at=timezone.now(), accepted_by=user):
        raise InviteSpent
    user.name, user.is_coach = name, True
    user.save(update_fields=["name", "is_coach"])
    user.camps.add(*made.camps.all())


def revoke(made: CoachInvite) -> bool:
    """Take an invitation back; False when it was accepted or taken back before."""
    still_open = CoachInvite.objects.filter(pk=made.pk, accepted_at=None, revoked_at=None)
    return still_open.update(revoked_at=timezone.now()) == 1
