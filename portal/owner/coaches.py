"""What the owner does about coaches: on and off, co-owners, camps."""

from __future__ import annotations

from collections.abc import Iterable

from allauth.mfa.models import Authenticator
from django.db import transaction
from django.db.models import Exists, OuterRef, Q, QuerySet

from portal.camps.models import Camp
from portal.people.models import User


class LastOwner(Exception):
    """Nobody would be left who keeps the site running."""


def everybody() -> QuerySet[User]:
    """Owners, coaches, and who was one: with what they have to sign in by (`has_step`)."""
    steps = Authenticator.objects.filter(user=OuterRef("pk")).exclude(type=Authenticator.Type.RECOVERY_CODES)
    was_one = Q(coach_invites_taken__isnull=False) | Q(camps__isnull=False)
    people = User.objects.filter(Q(is_coach=True) | Q(is_staff=True) | was_one).distinct()
    return people.annotate(has_step=Exists(steps)).prefetch_related("camps").order_by("-is_staff", "-is_coach", "name")


def switch(coach: User, on: bool) -> None:
    """Off: from the next click on they see no camp and no player. Their camps are kept for when they are on again.

    The account stays, for a coach may be a parent too.
    """
    User.objects.filter(pk=coach.pk).update(is_coach=on)


@transaction.atomic
def set_owner(person: User, owner: bool) -> None:
    """Make a co-owner, or end it. Raises LastOwner."""
    owners = User.objects.select_for_update().filter(is_staff=True, is_active=True)
    if not owner and not any(other.pk != person.pk for other in owners):
        raise LastOwner
    User.objects.filter(pk=person.pk).update(is_staff=owner, is_superuser=owner)


def hand_over(camp: Camp, coaches: Iterable[User]) -> None:
    """From now on these coach the camp, and nobody else."""
    camp.coaches.set(coaches)
