"""Deleted rows leave bytes behind in the database's files. Take them out, as far as the database can."""

from __future__ import annotations

import logging

from django.db import connection

log = logging.getLogger(__name__)


class StillRead(Exception):
    """Somebody reads an older state of the database just now, so the log beside it can't be emptied. Try again."""


def scrub() -> None:
    """Write the database anew without what was deleted, and empty the log beside it.

    SQLite: deleting overwrites (`secure_delete`, see the settings); VACUUM takes out copies that moving cells about left
    in free space, and the checkpoint empties the write-ahead log. PostgreSQL: VACUUM frees what no one can read any more;
    its own write-ahead log and copies of the disk are the business of who runs it.

    Raises StillRead. Does nothing within a transaction, where neither is possible.
    """
    if connection.in_atomic_block:
        return
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            busy = cursor.fetchone()[0]
            if busy:
                raise StillRead
