"""Who compiles which test modules, in a run of several workers: each imports every n-th first, and only then collects all.

Where nothing is compiled yet (a fresh clone), workers that collect in the same order would each compile every module, side by side.
Imported here, a module is the one that is collected later: same name, same rewritten assertions.
"""

from __future__ import annotations

import importlib
import os
from contextlib import suppress
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def import_own(worker: str, workers: int, left_out: tuple[str, ...]) -> None:
    """Import a worker's share. What breaks or skips here does so again when it is collected, where it is told."""
    for path in own_share(int(worker.removeprefix("gw")), workers, left_out):
        with suppress(Exception, pytest.skip.Exception):
            for name in _before(path):
                importlib.import_module(name)


def own_share(number: int, workers: int, left_out: tuple[str, ...] = ()) -> list[Path]:
    """Every `workers`-th test module, from the `number`-th on."""
    every = sorted(path for path in (ROOT / "tests").rglob("test_*.py") if not os.fspath(path).startswith(left_out))
    return every[number::workers]


def _before(path: Path) -> list[str]:
    """The module, after the conftests around it: they say whose assertions are rewritten."""
    around = [folder / "conftest.py" for folder in reversed(path.parents) if folder.is_relative_to(ROOT / "tests")]
    files = [*filter(Path.is_file, around), path]
    return [".".join(file.relative_to(ROOT).with_suffix("").parts) for file in files]
