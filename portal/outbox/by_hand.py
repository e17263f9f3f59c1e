"""What the owner may do with an email by hand."""

from __future__ import annotations

from django.utils import timezone
from django.utils.translation import gettext as _

from portal.after_commit import after_commit
from portal.outbox import queue
from portal.outbox.models import Email, EmailState
from portal.outbox.post_office import has_server

CAN_GO = (EmailState.WAITING, EmailState.GIVEN_UP, EmailState.KEPT)


def may_again(email: Email) -> bool:
    """Whether another attempt makes sense: a mail server is named, the text is there, and it is still of use."""
    of_use = email.runs_out_at is None or email.runs_out_at > timezone.now()
    return has_server() and email.state in CAN_GO and bool(email.body) and of_use


def again(email: Email) -> bool:
    """Have it tried at once, with two days ahead of it. False when that cannot be."""
    if not may_again(email):
        return False
    mine = Email.objects.filter(pk=email.pk, state__in=CAN_GO)
    changed = mine.update(
        state=EmailState.WAITING, next_try_at=timezone.now(), attempts=0, give_up_at=None, server_down=False
    )
    after_commit(queue.wake)
    return bool(changed)


def may_give_up(email: Email) -> bool:
    return email.state == EmailState.WAITING


def give_up(email: Email) -> bool:
    """Try it no more. False when it does not wait."""
    words = f"{_('Given up by hand.')} {email.answer}".strip()[:500]
    mine = Email.objects.filter(pk=email.pk, state=EmailState.WAITING)
    return bool(mine.update(state=EmailState.GIVEN_UP, answer=words, server_down=False))
