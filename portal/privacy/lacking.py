"""What was withdrawn or ended and does not stand in the ledger: a line that the disk did not take after the commit.

The rows say it themselves, so nothing has to be kept for it: they are compared with the ledger, and what lacks is written.
"""

from __future__ import annotations

from collections.abc import Iterator

from portal.intake.models import Consent, Submission
from portal.intake.states import State
from portal.privacy import ledger, marks


def note_all() -> int:
    """Write the lines that are missing. Returns how many; raises OSError where the disk does not take them."""
    known = ledger.read()
    missing = [(kind, key) for kind, key in _to_be_known() if not known.holds(kind, key)]
    if missing:
        ledger.note_all(missing)
    return len(missing)


def _to_be_known() -> Iterator[tuple[str, str]]:
    for pk in Submission.objects.filter(state=State.WITHDRAWN).order_by().values_list("pk", flat=True):
        yield ledger.WITHDRAWN, str(pk)
    for ended in Consent.objects.exclude(taken_back_at=None).order_by():
        yield ledger.ENDED, marks.consent_key(ended.pk, ended.given_at)
