"""What a mail server's answer means for an email, and what it says in plain words."""

from __future__ import annotations

import smtplib
import socket
import ssl
from dataclasses import dataclass
from enum import Enum

from django.conf import settings
from django.utils.translation import gettext as _


class Meaning(Enum):
    TAKEN = "taken"  # the server has it
    REFUSED = "refused"  # this email will never be taken
    LATER = "later"  # not now; the server is well
    SERVER_DOWN = "server_down"  # nothing can be sent just now, this email or another


@dataclass(frozen=True)
class Answer:
    meaning: Meaning
    words: str

    @property
    def taken(self) -> bool:
        return self.meaning is Meaning.TAKEN


def of(error: Exception) -> Answer:
    """The answer that an exception of the mail backend carries. Raises it again when it is none of a mail server's."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        code, said = next(iter(error.recipients.values()))
        return _by_code(code, said)
    if isinstance(error, smtplib.SMTPDataError):
        return _by_code(error.smtp_code, error.smtp_error)
    if isinstance(error, OSError):  # all of smtplib's, the sender's refusal and the password's among them
        return Answer(Meaning.SERVER_DOWN, words(error))
    if isinstance(error, ValueError):  # an address or a header that no mail can carry
        return Answer(Meaning.REFUSED, _("This cannot be sent as an email: %(why)s") % {"why": error})
    raise error


def _by_code(code: int, said: bytes | str) -> Answer:
    """RFC 5321, 4.2.1: 5yz is for good, 4yz may be otherwise later; 421 closes the connection."""
    if code == 421:
        return Answer(Meaning.SERVER_DOWN, _reply(code, said))
    return Answer(Meaning.REFUSED if code >= 500 else Meaning.LATER, _reply(code, said))


def words(error: OSError) -> str:
    """What went wrong with the server, and where to look, for the owner."""
    where = {"host": settings.EMAIL_HOST, "port": settings.EMAIL_PORT or "25", "seconds": settings.EMAIL_TIMEOUT}
    text = str(error)
    if isinstance(error, smtplib.SMTPAuthenticationError):
        hint = _("The mail server does not take the user name or the password of EMAIL_URL.")
        return f"{hint} {_reply(error.smtp_code, error.smtp_error)}"
    if isinstance(error, smtplib.SMTPSenderRefused):
        hint = _("The mail server does not let us write as %(sender)s; look at DEFAULT_FROM_EMAIL.")
        return f"{hint % {'sender': error.sender}} {_reply(error.smtp_code, error.smtp_error)}"
    if isinstance(error, smtplib.SMTPResponseException):
        return _reply(error.smtp_code, error.smtp_error)
    if isinstance(error, ssl.SSLError):
        hint = _("No safe connection to %(host)s, port %(port)s. Port 587 wants smtp+tls, port 465 smtp+ssl.")
        return f"{hint % where} ({text})"
    if isinstance(error, socket.gaierror):
        return _("There is no server by the name of %(host)s; look at EMAIL_URL.") % where
    if isinstance(error, ConnectionRefusedError):
        return _("Nobody answers at %(host)s, port %(port)s; look at EMAIL_URL.") % where
    if isinstance(error, TimeoutError) or "timed out" in text:
        return _("%(host)s, port %(port)s, said nothing for %(seconds)s seconds.") % where
    if isinstance(error, smtplib.SMTPServerDisconnected):
        return _("%(host)s, port %(port)s, hung up in the middle.") % where
    return _("%(host)s, port %(port)s: %(why)s") % {**where, "why": text or type(error).__name__}


def _reply(code: int, said: bytes | str) -> str:
    text = said.decode("utf-8", "replace") if isinstance(said, bytes) else str(said)
    return f"{code} {' '.join(text.split())}".strip()
