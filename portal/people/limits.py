"""How many invitations an account may send in a day. Counted in the database, so that it holds when Redis is down."""

from __future__ import annotations

from datetime import timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from portal.people.models import InvitationSent, User

A_DAY = 30


class TooMany(Exception):
    """The day's invitations are used up; says so in words for the page."""

    def __init__(self) -> None:
        super().__init__(
            _("You have sent %(most)d invitations in a day, and that is the most. Go on tomorrow.") % {"most": A_DAY}
        )


@transaction.atomic
def take_invitation(user: User) -> None:
    """Count one more invitation of this account. Raises TooMany when the last 24 hours hold A_DAY already."""
    User.objects.select_for_update().get(pk=user.pk)  # two windows at once count one after the other
    since = timezone.now() - timedelta(days=1)
    InvitationSent.objects.filter(by=user, at__lt=since).delete()
    if InvitationSent.objects.filter(by=user).count() >= A_DAY:
        raise TooMany
    InvitationSent.objects.create(by=user)
