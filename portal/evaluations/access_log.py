"""The log of who saw what. `portal/access.py` writes it where it hands a thing out, so that no view can forget.

A look is film, frames, pictures, numbers, draft, evaluation, a page about one player or clip, a row of the owner's tables,
an email. A line in a list (queue, roster, health) is none; a picture in such a line is.

First the row, then the look: where the row cannot be written, nobody but the family is shown anything (`NotNoted`).
"""

from __future__ import annotations

import logging
from datetime import datetime, timedelta

from django.db import DatabaseError, transaction
from django.utils import timezone

from portal.evaluations.models import AccessLogEntry, SeenAs, What
from portal.intake.models import Submission
from portal.people.models import Player, User

log = logging.getLogger(__name__)
HOUR = timedelta(hours=1)


class NotNoted(Exception):
    """The look could not be written down just now, so there is none; to be tried again in a moment."""


def note(
    user: User, player: Player, what: What, submission: Submission | None = None, at: datetime | None = None
) -> None:
    """Note that this person looks at `what` of the player, or of one of their submissions. Once an hour: all further looks
    cost one short query and write nothing.

    Raises NotNoted when the row cannot be written and the person is not family.
    """
    at = at or timezone.now()
    thing = submission.pk if submission else player.pk
    if AccessLogEntry.objects.filter(user=user, thing=thing, what=what, at__gt=at - HOUR).exists():
        return
    seen_as = _seen_as(user, player)
    row = AccessLogEntry(
        user=user,
        name="" if seen_as == SeenAs.FAMILY else str(user),
        seen_as=seen_as,
        player=player,
        submission=submission,
        what=what,
        thing=thing,
        **times(at),
    )
    _write(row)


def times(at: datetime) -> dict[str, datetime | int]:
    """The fields of a entry that follow from its moment.

    Who asks for thirty stills at once is noted once: moments less than half an hour apart have the same `hour` or the same
    `half`, and the database takes neither twice. (Moments further apart find the row by its `at`.)
    """
    seconds = int(at.timestamp())
    return {"at": at, "hour": seconds // 3600, "half": (seconds + 1800) // 3600}


def _seen_as(user: User, player: Player) -> SeenAs:
    if player.user_id == user.pk or player.guardians.filter(pk=user.pk).exists():
        return SeenAs.FAMILY
    if player.camps.filter(coaches=user).exists() or player.submissions.filter(camp__coaches=user).exists():
        return SeenAs.COACH
    return SeenAs.OWNER


def _write(row: AccessLogEntry) -> None:
    try:
        with transaction.atomic():
            AccessLogEntry.objects.bulk_create([row], ignore_conflicts=True)
    except DatabaseError as error:
        if row.seen_as != SeenAs.FAMILY:
            log.error("A look could not be noted, so nothing was shown: %s", error)
            raise NotNoted from error
        log.warning("A look of the family could not be noted: %s", error)
