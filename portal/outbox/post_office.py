"""The connection to the mail server: one for several emails, with a time-out, and an answer instead of an exception."""

from __future__ import annotations

import logging
from types import TracebackType
from typing import Self

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.mail import get_connection
from django.core.validators import validate_email
from django.utils.translation import gettext as _

from portal.outbox import answers, message
from portal.outbox.answers import Answer, Meaning
from portal.outbox.models import Email

log = logging.getLogger(__name__)


def has_server() -> bool:
    """Whether a mail server is named (EMAIL_URL)."""
    return bool(settings.OUTBOX_FORWARDS_TO)


class PostOffice:
    """Opened by the first email that is handed over, closed at the end of the `with`."""

    def __init__(self) -> None:
        self._server = get_connection(str(settings.OUTBOX_FORWARDS_TO), fail_silently=False)
        self._has_served = False  # on the connection that is open

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._close()

    def hand_over(self, email: Email) -> Answer:
        """Send this email now, and say what came of it. Writes nothing into the database.

        A server may have had enough of a connection after some emails: then it is asked once more on a new one.
        """
        answer = self._hand_over(email)
        if answer.meaning is Meaning.SERVER_DOWN and self._has_served:
            self._close()
            answer = self._hand_over(email)
        if answer.meaning is Meaning.SERVER_DOWN:
            self._close()
        self._has_served = answer.meaning is not Meaning.SERVER_DOWN
        return answer

    def _hand_over(self, email: Email) -> Answer:
        try:
            validate_email(email.to)
        except ValidationError:
            return Answer(Meaning.REFUSED, _("%(to)s is not an email address.") % {"to": email.to})
        try:
            self._server.open()
            self._server.send_messages([message.from_row(email)])
        except (OSError, ValueError) as error:
            return answers.of(error)
        return Answer(Meaning.TAKEN, getattr(self._server, "taken", "") or _("The mail server took it."))

    def _close(self) -> None:
        self._has_served = False
        try:
            self._server.close()
        except OSError as trouble:  # what the server took is noted by now; how it says goodbye changes nothing
            log.info("The mail server did not say goodbye: %s", trouble)
