"""What is the same at every making is made once for a run, by the first worker that asks for it; the others wait, and read it."""

from __future__ import annotations

import fcntl
import os
import shutil
from collections.abc import Callable
from pathlib import Path

from tests.services import HOME


def once(kind: str, name: str, make: Callable[[Path], None]) -> Path:
    """A folder of the run's, filled by `make(folder)` unless a worker did so before. A making that broke is not taken for one."""
    kept = Path(os.environ[HOME]) / kind
    kept.mkdir(exist_ok=True)
    folder, part = kept / name, kept / f"{name}.part"
    with (kept / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.exists():
            shutil.rmtree(part, ignore_errors=True)
            part.mkdir()
            make(part)
            part.rename(folder)
    return folder
