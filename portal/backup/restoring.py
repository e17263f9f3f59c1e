"""Taking a backup back. Every hash is compared before anything is touched, and the old rows and files stay until the new
ones are whole.
"""

from __future__ import annotations

import gzip
import os
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import IO, Any

from django.conf import settings
from django.core.files.base import File
from django.core.files.storage import default_storage
from django.core.management import call_command, get_commands
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from portal.backup import archive, named, rows
from portal.backup.archive import KEY, MEDIA, ROWS, Unusable


class Refused(Exception):
    """Nothing was touched; the message says why, and what to do."""


def restore(path: Path, *, replace: bool) -> dict[str, int]:
    """Take the backup back; how many rows each table has. The caller holds the lock of the data folder.

    Raises Refused, or archive.Unusable for a damaged file; then nothing was touched.
    """
    manifest = archive.verified(path)
    migrations = [(app, name) for app, name in manifest["migrations"]]
    _refuse_newer(migrations)
    if not replace:
        _refuse_full()
    _refuse_others()
    _files(path, {one["name"]: one["sha256"] for one in manifest["files"]})
    with _database():
        counts = _rows(path, migrations)
        if counts != manifest["tables"]:
            raise Unusable(f"{path} holds other rows than it names.")
    _key(path)
    _drop_others(manifest)
    call_command("migrate", verbosity=0, interactive=False)
    if "erase_again" in get_commands():
        call_command("erase_again")
    return counts


def _refuse_newer(migrations: list[tuple[str, str]]) -> None:
    known = MigrationLoader(None).graph.nodes
    unknown = [f"{app}.{name}" for app, name in migrations if (app, name) not in known]
    if unknown:
        raise Refused(
            "This backup was made by a newer version of Cagenote: it has been through "
            f"{', '.join(unknown[:3])}. Install that version, or a later one, and restore with it."
        )


def _refuse_full() -> None:
    """A folder in which something is kept already is not written over unasked."""
    kept = [folder for folder in named.FOLDERS if any(True for _ in named.below(folder))]
    if connection.introspection.table_names():
        kept.insert(0, "a database")
    if kept:
        raise Refused(
            f"There is something here already ({', '.join(kept)}). Restore into an empty DATA_DIR, or say --replace to "
            "put the backup in the place of all that is here."
        )


def _refuse_others() -> None:
    """Whoever else is at work in this database would meet half of it."""
    if connection.vendor != "postgresql":
        return
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()"
            " AND backend_type = 'client backend'"
        )
        others = cursor.fetchone()[0]
    if others:
        raise Refused(f"{others} other processes use this database. Stop web, workers and beat, then restore.")


def _files(path: Path, hashes: dict[str, str]) -> None:
    """The media; a file that is here already, whole, stays."""
    for name, _size, stream in archive.entries(path):
        if name.startswith(MEDIA):
            _keep_file(name.removeprefix(MEDIA), hashes[name], stream)


def _keep_file(name: str, sha256: str, stream: IO[bytes]) -> None:
    if default_storage.exists(name):
        with default_storage.open(name, "rb") as held:
            if archive.digest(held) == sha256:
                return
        default_storage.delete(name)
    default_storage.save(name, File(stream, name=name))


def _key(path: Path) -> None:
    """The key that signed sessions and links. One that SECRET_KEY names in the environment goes before the file."""
    key = next(stream.read().decode() for name, _size, stream in archive.entries(path) if name == KEY)
    file = Path(settings.DATA_DIR) / "secret-key"
    part = file.with_name("secret-key.part")
    part.unlink(missing_ok=True)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as out:
        out.write(key)
    part.replace(file)
    if not os.environ.get("SECRET_KEY", "").strip():
        settings.SECRET_KEY = key


def _rows(path: Path, migrations: list[tuple[str, str]]) -> dict[str, int]:
    executor = MigrationExecutor(connection)
    executor.migrate(_ends(executor.loader, migrations))
    with transaction.atomic():
        return rows.load(_lines(path), rows.apps_at(migrations))


def _ends(loader: MigrationLoader, migrations: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """The last migration of each app."""
    held = set(migrations)
    inner = {parent.key for key in held for parent in loader.graph.node_map[key].parents if parent.key[0] == key[0]}
    return sorted(held - inner)


def _lines(path: Path) -> Iterator[str]:
    for name, _size, stream in archive.entries(path):
        if name == ROWS:
            with gzip.open(stream, "rt", encoding="utf-8") as text:
                yield from text
            return


@contextmanager
def _database() -> Iterator[None]:
    """An empty database that takes the old one's place once the block is through, and not before."""
    if connection.vendor == "sqlite":
        with _new_file():
            yield
        return
    with transaction.atomic():
        with connection.cursor() as cursor:
            for table in connection.introspection.table_names(cursor):
                cursor.execute(f"DROP TABLE {connection.ops.quote_name(table)} CASCADE")
        yield


@contextmanager
def _new_file() -> Iterator[None]:
    """SQLite: a new file beside the old one, renamed over it."""
    old = Path(str(connection.settings_dict["NAME"]))
    new = old.with_name(old.name + ".restoring")
    _forget(new)
    connection.close()
    connection.settings_dict["NAME"] = str(new)
    try:
        yield
        connection.close()  # the last one out writes the journal into the file
        connection.settings_dict["NAME"] = str(old)
        with connection.cursor() if old.exists() else nullcontext() as cursor:
            if cursor is not None:
                cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")  # what a killed site left in its journal
        connection.close()
        for ending in ("-wal", "-shm"):
            old.with_name(old.name + ending).unlink(missing_ok=True)
        new.replace(old)
    finally:
        connection.close()
        connection.settings_dict["NAME"] = str(old)
        _forget(new)


def _forget(file: Path) -> None:
    for ending in ("", "-wal", "-shm"):
        file.with_name(file.name + ending).unlink(missing_ok=True)


def _drop_others(manifest: dict[str, Any]) -> None:
    """Files of what was here before and is not in the backup."""
    ours = {one["name"].removeprefix(MEDIA) for one in manifest["files"]}
    for folder in named.FOLDERS:
        for name in list(named.below(folder)):
            if name not in ours:
                default_storage.delete(name)
