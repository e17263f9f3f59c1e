"""The hash of an upload, reckoned beside while its next piece is still on the line.

Read and hashed only at the end, a large clip would keep its family waiting for seconds after the last byte. What is known
here is lost with the process, and is then reckoned from the file.
"""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, Protocol
from uuid import UUID

PIECE = 1024 * 1024
MOST = 64  # uploads that are known at a time; the one that was quiet for longest is forgotten first


class Readable(Protocol):
    def seek(self, offset: int, /) -> int: ...

    def read(self, size: int, /) -> bytes: ...


class _Running:
    """Of one file, from its beginning to `at`."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.digest, self.at = hashlib.sha256(), 0

    def go_on(self, file: Readable) -> None:
        """To the end of the file."""
        file.seek(self.at)
        while piece := file.read(PIECE):
            self.digest.update(piece)  # lets other threads run
            self.at += len(piece)


_known: OrderedDict[UUID, _Running] = OrderedDict()
_lock = threading.Lock()
_beside: ThreadPoolExecutor | None = None


def go_on(key: UUID, path: Path) -> None:
    """Bytes were added to the file: hash them beside."""
    global _beside
    with _lock:
        running = _known.setdefault(key, _Running())
        _known.move_to_end(key)
        while len(_known) > MOST:
            _known.popitem(last=False)
        if _beside is None:
            _beside = ThreadPoolExecutor(1, thread_name_prefix="running-hash")
        _beside.submit(_read, running, path)


def _read(running: _Running, path: Path) -> None:
    try:
        with running.lock, path.open("rb") as file:
            running.go_on(file)
    except FileNotFoundError:  # a clip by now, or ended
        pass


def sha256_of(key: UUID, file: Any) -> str:
    """The hash of the whole file: what is not reckoned yet is read now."""
    with _lock:
        running = _known.pop(key, None) or _Running()
    with running.lock:
        running.go_on(file)
        return running.digest.hexdigest()


def forget(key: UUID) -> None:
    with _lock:
        _known.pop(key, None)
