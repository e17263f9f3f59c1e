"""What the owner may do with a letter by hand."""

from __future__ import annotations

from django.utils import timezone
from django.utils.translation import gettext as _

from portal.after_commit import after_commit
from portal.outbox import queue
from portal.outbox.models import Letter, LetterState
from portal.outbox.post_office import has_server

CAN_GO = (LetterState.WAITING, LetterState.GIVEN_UP, LetterState.KEPT)


def may_again(letter: Letter) -> bool:
    """Whether another attempt makes sense: a mail server is named, the text is there, and it is still of use."""
    of_use = letter.runs_out_at is None or letter.runs_out_at > timezone.now()
    return has_server() and letter.state in CAN_GO and bool(letter.body) and of_use


def again(letter: Letter) -> bool:
    """Have it tried at once, with two days ahead of it. False when that cannot be."""
    if not may_again(letter):
        return False
    mine = Letter.objects.filter(pk=letter.pk, state__in=CAN_GO)
    changed = mine.update(
        state=LetterState.WAITING, next_try_at=timezone.now(), attempts=0, give_up_at=None, server_down=False
    )
    after_commit(queue.wake)
    return bool(changed)


def may_give_up(letter: Letter) -> bool:
    return letter.state == LetterState.WAITING


def give_up(letter: Letter) -> bool:
    """Try it no more. False when it does not wait."""
    words = f"{_('Given up by hand.')} {letter.answer}".strip()[:500]
    mine = Letter.objects.filter(pk=letter.pk, state=LetterState.WAITING)
    return bool(mine.update(state=LetterState.GIVEN_UP, answer=words, server_down=False))
