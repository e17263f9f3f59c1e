"""A restored backup brings back what was erased since: erase it again, by the ledger."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any

from django.utils import timezone

from portal import queue_door
from portal.intake import erase
from portal.intake.models import Consent, Submission
from portal.intake.states import State
from portal.people.models import Player, User
from portal.privacy import erasing, finishing, ledger, marks
from portal.privacy.models import AskedBy, Kind

log = logging.getLogger(__name__)


def erase_again() -> int:
    """Erase all that stands in the ledger and is there (again). Returns how many things that were.

    Runs at the end of `manage.py restore` and at every start; where nothing came back it only looks.
    """
    known = ledger.read()
    if not known.hashes:
        return 0
    return sum(
        [
            _each(Player.objects.all(), lambda one: known.holds(Kind.PLAYER, marks.player_key(one.pk)), _player),
            _each(User.objects.all(), lambda one: _is_account(known, one), _account),
            _each(
                Submission.objects.exclude(state=State.WITHDRAWN),
                lambda one: known.holds(ledger.WITHDRAWN, str(one.pk)),
                erase.withdraw,
            ),
            _each(
                Consent.objects.filter(taken_back_at=None),
                lambda one: known.holds(ledger.ENDED, marks.consent_key(one.pk, one.given_at)),
                _end,
            ),
        ]
    )


def _each(rows: Any, is_erased: Callable[[Any], bool], erase_one: Callable[[Any], None]) -> int:
    found = [row for row in rows if is_erased(row)]
    for row in found:
        erase_one(row)
    return len(found)


def _is_account(known: ledger.Ledger, user: User) -> bool:
    key = marks.account_key(user)
    return user.is_active and (known.holds(Kind.ACCOUNT, key) or known.holds(Kind.COACH, key))


def _player(player: Player) -> None:
    erasing.erase_player(player, AskedBy.AGAIN)


def _account(user: User) -> None:
    """The account alone: which players went with it stands in the ledger by itself."""
    try:
        erasing.erase_account_alone(user, AskedBy.AGAIN)
    except erasing.LastOwner:
        log.warning("An erased account came back as the only owner. It stays until there is another one.")


def _end(given: Consent) -> None:
    Consent.objects.filter(pk=given.pk).update(taken_back_at=timezone.now())


def finish() -> None:
    """Finish erasures right now, where there is no worker to ask. What stands in the way is logged and found again."""
    try:
        finishing.finish_all()
    except queue_door.NOT_TAKEN:  # the site is stopped, as for a restore
        log.warning("The queue does not run; what is left of an erasure in it goes at the next start.")
    except Exception:
        log.exception("An erasure could not be finished; it is tried again.")
