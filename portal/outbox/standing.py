"""How the mail stands: for the health page, for the outbox, and for somebody who waits for an email."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone

from portal.outbox.models import Email, EmailState
from portal.outbox.post_office import has_server

WEEK = timedelta(days=7)
LONG_WAIT = timedelta(minutes=15)


@dataclass(frozen=True)
class Standing:
    """`last_sent` is the newest email that the server took. `trouble` is what the server last said when it took none."""

    last_sent: datetime | None
    waiting: int
    oldest: datetime | None
    given_up: int
    trouble: str

    @property
    def is_late(self) -> bool:
        return self.oldest is not None and timezone.now() - self.oldest > LONG_WAIT


def standing() -> Standing:
    waiting = Email.objects.filter(state__in=(EmailState.WAITING, EmailState.SENDING)).order_by("written_at")
    given_up = Email.objects.filter(state=EmailState.GIVEN_UP, written_at__gt=timezone.now() - WEEK)
    sent = Email.objects.exclude(sent_at=None).order_by("-sent_at").values_list("sent_at", flat=True)
    return Standing(
        sent.first(), waiting.count(), waiting.values_list("written_at", flat=True).first(), given_up.count(),
        server_trouble(),
    )  # fmt: skip


def server_trouble() -> str:
    """What the mail server (or the way to it) said at the last attempt, when it is down now; empty when it is not."""
    held = Email.objects.filter(state=EmailState.WAITING, server_down=True).order_by("-tried_at")
    return held.values_list("answer", flat=True).first() or ""


def leaves_now() -> bool:
    """Whether an email that is written now may be said to be on its way."""
    return has_server() and not server_trouble()
