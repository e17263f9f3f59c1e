"""Lines of many processes on one screen."""

from __future__ import annotations

import threading
from typing import TextIO

WIDTH = 8


class Voice:
    """Prints `name | line`, one line at a time whoever speaks."""

    def __init__(self, out: TextIO) -> None:
        self._out = out
        self._lock = threading.Lock()

    def __call__(self, name: str, line: str) -> None:
        with self._lock:
            self._out.write(f"{name:<{WIDTH}} | {line}\n")
            self._out.flush()
