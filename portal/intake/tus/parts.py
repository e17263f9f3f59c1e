"""The bytes of an upload that is not whole yet: one file each in the storage's `incoming/`.

What is there is what counts: the offset is the length of the file, so that nothing has to agree with it after a crash. A
piece is only ever put at the end at which its sender takes the file to be, under a lock that is held for that write
alone. So two requests for the same upload never mix, and one whose line hangs holds up nobody.
"""

from __future__ import annotations

import fcntl
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO
from uuid import UUID

from portal.intake import receiving
from portal.intake.behind import Behind

ENDING = ".part"
PAUSES_S = (0.001, 0.002, 0.002)  # for a lock that others hold for a write or a look


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


class Open:
    """The file kept open, for pieces that follow each other and may not wait for anybody's lock."""

    def __init__(self, key: UUID, *, make: bool) -> None:
        """Raises FileNotFoundError where there is none and none is to be made."""
        self._behind = Behind()
        self._handle = os.open(path_of(key), os.O_WRONLY | (os.O_CREAT if make else 0), 0o600)

    def append(self, at: int, piece: bytes) -> None:
        """As `append` above; Moved as well while somebody else holds the file. Never beyond the upload's length: so a file
        that became a clip meanwhile is longer than `at`, and is left alone.
        """
        self._lock()
        try:
            there = os.fstat(self._handle)
            if there.st_nlink == 0 or there.st_size != at:
                raise Moved
            left = memoryview(piece)
            while left:
                written = os.pwrite(self._handle, left, at)
                at, left = at + written, left[written:]
        finally:
            fcntl.flock(self._handle, fcntl.LOCK_UN)
        self._behind.wrote(self._handle, len(piece))

    def _lock(self) -> None:
        for pause in PAUSES_S:
            try:
                return fcntl.flock(self._handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                time.sleep(pause)
        raise Moved

    def close(self) -> None:
        if self._handle >= 0:
            os.close(self._handle)
            self._handle = -1


def settle(key: UUID) -> None:
    """Come back when all that was appended is on the disk itself."""
    try:
        handle = os.open(path_of(key), os.O_RDONLY)
    except FileNotFoundError:
        return
    try:
        os.fdatasync(handle)
    finally:
        os.close(handle)


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
        yield file if _is_still(path, file.fileno()) else None


def _is_still(path: Path, handle: int) -> bool:
    """Whether the file still lies there: it may have become a clip while we waited for the lock."""
    try:
        return os.path.samestat(path.stat(), os.fstat(handle))
    except FileNotFoundError:
        return False
