"""A file that does nothing but take up room, so that there is some to delete with.

Deleting needs room, too: a database writes down first what it is about to forget. On a full disk a family's withdrawal
would fail. So a few megabytes are kept, given up before a deletion when the disk is full, and taken anew when there is room.
"""

from __future__ import annotations

import logging
import os
import shutil
from pathlib import Path

from django.conf import settings

log = logging.getLogger(__name__)
SIZE = 16 * 1024 * 1024


def path() -> Path:
    return Path(settings.DATA_DIR) / "ballast"


def take_aboard() -> bool:
    """Keep the room, if there is plenty. Whether it is kept now."""
    if path().exists():
        return True
    if shutil.disk_usage(path().parent).free < settings.DISK_RESERVE_BYTES // 2 + SIZE:
        return False
    beside = path().with_suffix(".new")
    try:
        with beside.open("wb") as file:
            os.posix_fallocate(file.fileno(), 0, SIZE)
        beside.replace(path())
    except OSError:
        beside.unlink(missing_ok=True)
        return False
    return True


def throw_off_if_full() -> None:
    """Before something is deleted: give the room up where there is next to none."""
    if shutil.disk_usage(settings.DATA_DIR).free < SIZE and path().exists():
        log.warning("The disk is full; %s is given up, so that something can be deleted.", path())
        path().unlink(missing_ok=True)
