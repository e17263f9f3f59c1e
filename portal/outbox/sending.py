"""Send the emails that wait. Called by the worker for mail alone: after each email is written, and by the sweep.

An email may arrive twice, when a worker dies between the server's "ok" and the row: better than never. Both carry the
same Message-ID, so that a receiver can fold them.
"""

from __future__ import annotations

import logging
import time

from celery.exceptions import SoftTimeLimitExceeded
from django.utils.translation import gettext as _

from portal.outbox import claims, queue
from portal.outbox.answers import Answer, Meaning
from portal.outbox.models import Email
from portal.outbox.post_office import PostOffice, has_server

log = logging.getLogger(__name__)
AT_A_STRETCH_S = 30.0  # then the worker shows a sign of life before it goes on


def send_waiting() -> int:
    """Send what is due over one connection, the urgent first. Returns how many emails the server took."""
    if claims.revive_the_stale():
        log.warning("A worker stopped in the middle of sending emails; they are sent again.")
    claims.end_the_useless()
    return _send() if has_server() else 0


def _send() -> int:
    end, taken, server_is_up = time.monotonic() + AT_A_STRETCH_S, 0, False
    with PostOffice() as office:
        while (email := claims.take()) is not None:
            answer = _hand_over(office, email)
            claims.settle(email, answer)
            if answer.meaning is Meaning.SERVER_DOWN:
                log.warning("Emails wait, because of the mail server: %s", answer.words)
                claims.hold_the_others(answer)
                return taken
            taken += answer.taken
            if not server_is_up:
                claims.release_the_held()
                server_is_up = True
            if time.monotonic() > end:
                queue.wake()
                return taken
    return taken


def _hand_over(office: PostOffice, email: Email) -> Answer:
    try:
        return office.hand_over(email)
    except SoftTimeLimitExceeded:  # each step was quick enough, all of them were not
        return Answer(Meaning.SERVER_DOWN, _("The mail server answers so slowly that no email gets through."))
