"""Put the demo's people, camps and players into the database."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

from allauth.account.models import EmailAddress
from django.contrib.auth.hashers import make_password
from django.utils import timezone

from portal.camps.models import Camp
from portal.demo import cast
from portal.demo.cast import Adult, Hitter
from portal.intake import consent
from portal.people.models import Player, User


@cache
def hashed_password() -> str:
    """Made once: hashing is slow by design, and no transaction should wait for it."""
    return make_password(cast.PASSWORD)


def sign_up(adult: Adult) -> User:
    """An account with a confirmed address and the demo's password."""
    is_owner = adult.role == "owner"
    user = User.objects.create(
        email=adult.email, password=hashed_password(), name=adult.name, is_coach=adult.role == "coach",
        is_staff=is_owner, is_superuser=is_owner,
    )  # fmt: skip
    EmailAddress.objects.create(user=user, email=adult.email, verified=True, primary=True)
    return user


def open_camps(people: dict[str, User]) -> Camp:
    """The camp of the demo, and a second one so that there is something to choose from."""
    first_day = timezone.localdate() - timedelta(days=12)
    camp = Camp.objects.create(**cast.CAMP, starts_on=first_day, ends_on=first_day + timedelta(days=1))
    camp.coaches.set([people["maren"], people["tibor"]])
    later = timezone.localdate() + timedelta(days=30)
    second = Camp.objects.create(**cast.SECOND_CAMP, starts_on=later, ends_on=later + timedelta(days=2))
    second.coaches.set([people["tibor"]])
    return camp


def enrol(hitter: Hitter, camp: Camp, people: dict[str, User]) -> Player:
    """The player with their guardian's consent, and their own sign-in where the cast says so."""
    guardian = people[hitter.guardian]
    player = Player.objects.create(
        first_name=hitter.first_name, last_name=hitter.last_name, birth_year=date.today().year - hitter.age,
        hits=hitter.hits, sport=hitter.sport,
    )  # fmt: skip
    player.guardians.add(guardian)
    if hitter.signs_in:
        player.user = sign_up(Adult(hitter.first_name.lower(), f"{hitter.first_name} {hitter.last_name}"))
        player.save(update_fields=["user"])
    consent.give(player, camp, guardian, training_too=False)
    return player
