"""One `manage.py run` for each data folder: two would share a queue's socket, a schedule and a port's families."""

from __future__ import annotations

import fcntl
import os
from pathlib import Path
from typing import IO

from django.conf import settings
from django.core.management.base import CommandError


def take() -> IO[str]:
    """Lock the data folder for as long as the file stays open; the kernel lets go of it however the process ends.

    Raises CommandError with words when another process holds it.
    """
    folder = Path(settings.DATA_DIR)
    folder.mkdir(parents=True, exist_ok=True)
    file = (folder / "run.lock").open("a+")
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        file.seek(0)
        holder = file.read().strip() or "?"
        file.close()
        raise CommandError(
            f"Cagenote runs already on the data in {folder} (process {holder}). Stop it first, or name another folder in DATA_DIR."
        ) from None
    file.truncate(0)
    file.write(f"{os.getpid()}\n")
    file.flush()
    return file
