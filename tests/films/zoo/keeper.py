"""Keep one process of `first_steps` and hand it files: what is slow to import is imported once."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from types import TracebackType
from typing import Any, Self

ROOT = Path(__file__).parents[3]


class FirstSteps:
    """Takes files and tells how opening and decoding them ended (see `first_steps`)."""

    def __enter__(self) -> Self:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.films.zoo.first_steps"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait()
        self._process.stdout.close()

    def take(self, path: Path) -> dict[str, Any]:
        """Open and decode one file."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps(os.fspath(path)) + "\n")
        self._process.stdin.flush()
        told: dict[str, Any] = json.loads(self._process.stdout.readline())
        return told
