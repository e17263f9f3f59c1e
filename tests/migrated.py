"""A PostgreSQL database into which every migration has gone, once for a run: each worker's own database is copied from it.

Running all migrations costs seconds of CPU, copying what they made a fraction of one.
"""

from __future__ import annotations

import fcntl
from pathlib import Path

NAME = "migrated"


def once(home: Path) -> None:
    """Make the database unless another process of this run did; who comes meanwhile waits. Nobody stays connected to it."""
    made = home / f"{NAME}.made"
    with (home / f"{NAME}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            _make()
            made.touch()


def _make() -> None:
    """As Django makes a database for tests, migrations and all."""
    from django.db import connection

    own, names = connection.settings_dict["NAME"], connection.settings_dict["TEST"]
    of_this_process = names["NAME"]
    names["NAME"] = NAME
    try:
        connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
        connection.creation.destroy_test_db(own, verbosity=0, keepdb=True)
    finally:
        names["NAME"] = of_this_process
