"""Whether an error says that the disk is full: from the file system, from SQLite, or from PostgreSQL."""

from __future__ import annotations

import errno
import sqlite3

from django.db import DatabaseError

POSTGRES_FULL = "53100"  # disk_full, in the table of its error codes
SQLITE_FULL = {sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR_SHMSIZE}  # the second: no room for the log's index


def is_full(error: BaseException) -> bool:
    """Whether there was no room for what was to be written."""
    if isinstance(error, OSError):
        return error.errno in (errno.ENOSPC, errno.EDQUOT)
    if not isinstance(error, DatabaseError):
        return False
    cause = error.__cause__
    if isinstance(cause, sqlite3.Error):
        return cause.sqlite_errorcode in SQLITE_FULL
    return getattr(cause, "sqlstate", None) == POSTGRES_FULL


def comes_of_it(error: BaseException) -> bool:
    """Whether this error, or one that it was raised for, says that the disk is full."""
    while not is_full(error):
        before = error.__cause__ or error.__context__
        if before is None:
            return False
        error = before
    return True
