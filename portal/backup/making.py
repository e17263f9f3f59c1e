"""Making a backup while the site runs."""

from __future__ import annotations

import gzip
import io
import json
import logging
import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO, Any

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import connection
from django.utils import timezone

from portal.backup import archive, named, rows
from portal.health.versions import versions

LAST = "last-backup.json"
log = logging.getLogger(__name__)


class Nothing(Exception):
    """There is nothing to back up; the message says where it was looked for."""


@dataclass(frozen=True)
class Made:
    """What went into the file."""

    path: Path
    rows: int
    files: int
    size: int


def back_up(path: Path) -> Made:
    """Write the whole site to `path`, which must not exist. OSError when the disk is full; then nothing is left.

    Raises Nothing where there is no site to back up.
    """
    if path.exists():
        raise FileExistsError(f"{path} exists already; choose another name.")
    if "intake_submission" not in connection.introspection.table_names():
        raise Nothing(
            f"There is no site in {settings.DATA_DIR}: its database has no tables. Is DATA_DIR the right one?"
        )
    with archive.writing(path) as out:
        with rows.snapshot(), _scratch(path.parent) as held:
            migrations = rows.applied()
            apps = rows.apps_at(migrations)
            with gzip.open(held, "wt", encoding="utf-8", compresslevel=5) as text:
                counts = rows.dump(apps, text)
            files = list(dict.fromkeys(name for name in named.named(apps) if name))
            held.seek(0)
            out.add(archive.ROWS, held, os.fstat(held.fileno()).st_size)
        key = settings.SECRET_KEY.encode()
        out.add(archive.KEY, io.BytesIO(key), len(key))
        for name in files:
            _add(out, name)
        out.finish(_about(migrations, counts))
    made = Made(path, sum(counts.values()), len(out.files) - 2, path.stat().st_size)
    _note(made)
    return made


def last() -> datetime | None:
    """When the newest backup of this data folder was made."""
    try:
        return datetime.fromisoformat(json.loads((Path(settings.DATA_DIR) / LAST).read_text())["at"])
    except (OSError, ValueError, KeyError):
        return None


@contextmanager
def _scratch(folder: Path) -> Iterator[IO[bytes]]:
    """A file without a name on the disk of the backup: it is gone however this ends."""
    with tempfile.TemporaryFile(dir=folder) as file:
        yield file


def _add(out: archive.Writer, name: str) -> None:
    """Copy one file of the storage as long as it was when it was opened; one that was deleted meanwhile is left out."""
    try:
        file = default_storage.open(name, "rb")
    except FileNotFoundError:
        return
    with file:
        out.add(archive.MEDIA + name, file, file.size)


def _about(migrations: list[tuple[str, str]], counts: dict[str, int]) -> dict[str, Any]:
    return {
        "made_at": timezone.now().isoformat(),
        "database": connection.vendor,
        "versions": versions(),
        "settings": _named_settings(),
        "migrations": [list(key) for key in migrations],
        "tables": counts,
    }


def _named_settings() -> list[str]:
    """Which variables were set, without what they held: whoever restores knows what to set again."""
    source = (Path(settings.BASE_DIR) / "portal" / "settings.py").read_text()
    return sorted(name for name in set(re.findall(r'env\.\w+\(\s*"([A-Z_]+)"', source)) if os.environ.get(name))


def _note(made: Made) -> None:
    """For the health page. The backup stands also where this cannot be noted."""
    about = {"at": timezone.now().isoformat(), "file": made.path.name, "bytes": made.size}
    note = Path(settings.DATA_DIR) / LAST
    try:
        note.parent.mkdir(parents=True, exist_ok=True)
        note.write_text(json.dumps(about))
    except OSError:
        log.exception("The health page will not know of the backup %s.", made.path)
