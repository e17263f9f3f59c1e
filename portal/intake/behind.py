"""Written bytes are put on the disk itself while more come in, so that their sender waits for little at the end."""

from __future__ import annotations

import logging
import os
import threading
from concurrent.futures import ThreadPoolExecutor

log = logging.getLogger(__name__)

EVERY = 4 * 1024 * 1024
_lock = threading.Lock()
_beside: ThreadPoolExecutor | None = None


class Behind:
    """Of one file. A hint, no promise: who acknowledges something still asks the disk."""

    def __init__(self) -> None:
        self._since = 0
        self._is_at_it = False

    def wrote(self, handle: int, count: int) -> None:
        """So many bytes more are in the open file."""
        self._since += count
        if self._since < EVERY or self._is_at_it:
            return
        self._since, self._is_at_it = 0, True
        _pool().submit(self._settle, os.dup(handle))  # one that nobody closes meanwhile

    def _settle(self, handle: int) -> None:
        try:
            os.fdatasync(handle)
        except OSError as error:  # who acknowledges will hear of it as well
            log.warning("Writing a clip to the disk: %s", error)
        finally:
            os.close(handle)
            self._is_at_it = False


def _pool() -> ThreadPoolExecutor:
    global _beside
    with _lock:
        if _beside is None:
            _beside = ThreadPoolExecutor(1, thread_name_prefix="behind")
        return _beside
