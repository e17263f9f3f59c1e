"""The bytes of an upload that is not whole yet: one file each in the storage's `incoming/`.

What is there is what counts: the offset is the length of the file, so that nothing has to agree with it after a crash. A
piece is only ever put at the end at which its sender takes the file to be, under a lock that is held for that write
alone. So two requests for the same upload never mix, and one whose line hangs holds up nobody.
"""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO
from uuid import UUID

from portal.intake import receiving

ENDING = ".part"


class Moved(Exception):
    """The file does not end where the piece begins: somebody else put something there, or it is gone."""


def path_of(key: UUID) -> Path:
    return receiving.incoming() / f"{key}{ENDING}"


def length(key: UUID) -> int | None:
    """How many bytes are on the disk; None where there is no file."""
    try:
        return path_of(key).stat().st_size
    except FileNotFoundError:
        return None


def append(key: UUID, at: int, piece: bytes) -> None:
    """Put `piece` at the end, which must be at `at`. Raises Moved, or OSError when the disk is full: then a part of the
    piece may be there, and the length says how much.
    """
    with held(key, make=at == 0) as file:
        if file is None or os.fstat(file.fileno()).st_size != at:
            raise Moved
        file.seek(at)
        file.write(piece)


def settle(key: UUID) -> None:
    """Come back when all that was appended is on the disk itself."""
    with held(key) as file:
        if file is not None:
            os.fsync(file.fileno())


def remove(key: UUID) -> None:
    path_of(key).unlink(missing_ok=True)


@contextmanager
def held(key: UUID, *, make: bool = False) -> Iterator[IO[bytes] | None]:
    """The open file, locked against other processes; None where there is none and none is to be made."""
    path = path_of(key)
    try:
        handle = os.open(path, os.O_RDWR | (os.O_CREAT if make else 0), 0o600)
    except FileNotFoundError:
        yield None
        return
    with os.fdopen(handle, "r+b", buffering=0) as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield file if _is_still(path, file) else None


def _is_still(path: Path, file: IO[bytes]) -> bool:
    """Whether the file still lies there: it may have become a clip while we waited for the lock."""
    try:
        return os.path.samestat(path.stat(), os.fstat(file.fileno()))
    except FileNotFoundError:
        return False
