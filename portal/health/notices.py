"""What the owner is told by email, and not again for a while."""

from __future__ import annotations

import logging
from datetime import timedelta
from typing import Any

from django.db import DatabaseError, transaction
from django.utils import timezone

from portal.health.models import Notice
from portal.outbox import emails
from portal.people.models import User

log = logging.getLogger(__name__)
A_DAY = timedelta(days=1)


def tell_owners(what: str, **about: Any) -> bool:
    """Write the email templates/mail/<what>.txt to every owner, once a day. Whether it was written just now.

    Where the trouble is of the kind that the database can't write either, only the log tells of it.
    """
    try:
        with transaction.atomic():
            if not _is_due(what):
                return False
            owners = User.objects.filter(is_staff=True, is_active=True)
            emails.send(what, owners.values_list("email", flat=True), **about)
    except DatabaseError:
        log.exception("The owner could not be told of %s.", what)
        return False
    return True


def _is_due(what: str) -> bool:
    now = timezone.now()
    _row, is_new = Notice.objects.get_or_create(what=what, defaults={"told_at": now})
    return is_new or bool(Notice.objects.filter(what=what, told_at__lte=now - A_DAY).update(told_at=now))
