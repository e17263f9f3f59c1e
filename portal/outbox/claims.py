"""Who sends an email: every move is one conditional update, so that two workers never send the same one at once."""

from __future__ import annotations

import random
import secrets
from datetime import datetime, timedelta

from django.db.models import F, Q, QuerySet
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext as _

from portal.outbox.answers import Answer, Meaning
from portal.outbox.models import Email, EmailState

PAUSES_S = (60, 5 * 60, 15 * 60, 3600, 3 * 3600, 6 * 3600)  # the last one again and again
URGENT_PAUSES_S = (20, 60, 2 * 60, 3 * 60, 5 * 60)
TRIED_FOR = timedelta(days=2)
STALE = timedelta(minutes=3)  # a worker's task is ended long before (portal/outbox/tasks.py)


def due(now: datetime) -> QuerySet[Email]:
    """Emails to be tried now."""
    of_use = Q(runs_out_at=None) | Q(runs_out_at__gt=now)
    return Email.objects.filter(of_use, state=EmailState.WAITING, next_try_at__lte=now)


def take() -> Email | None:
    """Take the email that is to be sent next: who waits before a page comes first. The attempt is counted now."""
    while True:
        now, token = timezone.now(), secrets.token_hex(16)
        email = due(now).order_by("-urgent", "next_try_at", "pk").first()
        if email is None:
            return None
        taken = due(now).filter(pk=email.pk).update(
            state=EmailState.SENDING, claim=token, tried_at=now, attempts=F("attempts") + 1,
            give_up_at=Coalesce("give_up_at", now + TRIED_FOR),
        )  # fmt: skip
        if taken:
            email.refresh_from_db()
            return email


def settle(email: Email, answer: Answer) -> None:
    """Write what came of the attempt. That the server took it is true whoever holds the email by now."""
    now = timezone.now()
    fields = {"claim": "", "answer": answer.words[:500], "server_down": answer.meaning is Meaning.SERVER_DOWN}
    if answer.taken:
        mine = Email.objects.filter(pk=email.pk)
        mine.update(state=EmailState.SENT, sent_at=now, **fields)
        return
    mine = Email.objects.filter(pk=email.pk, claim=email.claim, state=EmailState.SENDING)
    if answer.meaning is Meaning.REFUSED or (email.give_up_at and now >= email.give_up_at):
        mine.update(state=EmailState.GIVEN_UP, **fields)
    else:
        mine.update(state=EmailState.WAITING, next_try_at=now + pause(email), **fields)


def pause(email: Email) -> timedelta:
    """How long until the next attempt: longer each time, and never quite as long for two emails."""
    pauses = URGENT_PAUSES_S if email.urgent else PAUSES_S
    return timedelta(seconds=pauses[min(email.attempts, len(pauses)) - 1] * random.uniform(1.0, 1.2))


def hold_the_others(answer: Answer) -> None:
    """The server is down: whatever is due waits as well, without an attempt of its own, and says why."""
    now = timezone.now()
    for urgent, seconds in ((True, URGENT_PAUSES_S[0]), (False, PAUSES_S[0])):
        due(now).filter(urgent=urgent).update(
            next_try_at=now + timedelta(seconds=seconds), answer=answer.words[:500], server_down=True
        )


def release_the_held() -> int:
    """The server is back: what waited because of it is due at once."""
    held = Email.objects.filter(state=EmailState.WAITING, server_down=True)
    return held.update(next_try_at=timezone.now(), server_down=False)


def revive_the_stale() -> int:
    """Emails whose worker died in the middle wait again. The server may have had one already: better twice than never."""
    now = timezone.now()
    stale = Email.objects.filter(state=EmailState.SENDING, tried_at__lt=now - STALE)
    words = _("The worker stopped in the middle of sending it; it is sent again and may arrive twice.")
    return stale.update(state=EmailState.WAITING, claim="", next_try_at=now, answer=words)


def end_the_useless() -> int:
    """Codes that ran out before they could be sent are given up, with what the server had said."""
    over = Email.objects.filter(state=EmailState.WAITING, runs_out_at__lte=timezone.now())
    words = _("It was of use for a short time only, and that is over.")
    ended = 0
    for email in over:
        answer = f"{words} {email.answer}".strip()[:500]
        ended += Email.objects.filter(pk=email.pk, state=EmailState.WAITING).update(
            state=EmailState.GIVEN_UP, answer=answer
        )
    return ended
