"""No invite's secret in the log: of an address that holds one, only what stands before it is written down."""

from __future__ import annotations

import logging
import re

# The parts that are secrets: whatever follows these in an address.
_BEFORE = r"/join/(?:(?:coach|guardian|player)/)?|/start/|/accounts/[\w./-]*?key/"
_SECRET = re.compile(rf"({_BEFORE})(?!(?:coach|guardian|player)/)[^\s/?'\"<>…]+[^\s'\"<>]*")


class WithoutSecrets(logging.Filter):
    """On a handler, so that it sees the lines of every logger."""

    def filter(self, record: logging.LogRecord) -> bool:
        line = record.getMessage()
        short = without_secrets(line)
        if short != line:
            record.msg, record.args = short, None
        if record.exc_info and not record.exc_text:
            record.exc_text = logging.Formatter().formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = without_secrets(record.exc_text)
        return True


def without_secrets(line: str) -> str:
    return _SECRET.sub(r"\1…", line)
