"""Nothing in our logs opens a door or names a family: addresses that hold a secret are cut short, mail addresses as well.

`install` makes every log record of the process so, whoever writes it and wherever it goes: Django on a 404, Celery, a
traceback. The settings call it, because every process of ours begins with them.
"""

from __future__ import annotations

import logging
import re
from typing import Any

CUT = "…"
# What stands before the secret in an address. tests/portal/test_quiet_logs.py finds addresses that are missing here.
BEFORE_SECRETS = ("join/player/", "join/guardian/", "join/coach/", "join/", "start/", "accounts/password/reset/key/")

_SLASH = "(?:/|%2F)"
_SECRET = re.compile(
    rf"(?:(?<![\w-])|(?<=%2F))({'|'.join(re.escape(text).replace('/', _SLASH) for text in BEFORE_SECRETS)})"
    r"(?:[^\s/?&%\"'<>\\)\]}]|%(?!2F)[0-9A-F]{2})+",
    re.IGNORECASE,
)
_MAIL = re.compile(r"[\w.+-]+(@|%40)(?=[\w-]+(?:\.[\w-]+)+)")


def shorten(text: str) -> str:
    """The text without secrets and without the names in mail addresses.

    >>> shorten("Not Found: /join/player/eyJwbGF5ZXI:1uV:x_Y/ by lea@example.org")
    'Not Found: /join/player/…/ by …@example.org'
    """
    return _MAIL.sub(CUT + r"\1", _SECRET.sub(r"\1" + CUT, text))


def holds_a_secret(address: str) -> bool:
    """Whether the address of a page, with its query, opens a door to whoever reads it."""
    return _SECRET.search(address) is not None


class QuietRecord(logging.LogRecord):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.exc_info and self.exc_info[0]:
            self.exc_text = shorten(logging.Formatter().formatException(self.exc_info))

    def getMessage(self) -> str:
        return shorten(super().getMessage())


def install() -> None:
    """From here on every record of this process is a quiet one."""
    logging.setLogRecordFactory(QuietRecord)
