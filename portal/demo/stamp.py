"""Remembers in the demo's folder that it was made, and from what: a second start then takes seconds."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

from django.conf import settings

from portal.demo import films

BEGUN, MADE = "demo-begun", "demo-made"


class NotADemo(Exception):
    """The folder holds something else, and making the demo would delete it."""


def is_made() -> bool:
    """Whether the folder holds a whole demo made from today's films by today's code."""
    made = Path(settings.DATA_DIR) / MADE
    return made.is_file() and made.read_text() == _ingredients()


def clear() -> None:
    """Empty the folder of a demo, half made or outdated. Raises NotADemo for a folder that holds anything else."""
    folder = Path(settings.DATA_DIR)
    begun = folder / BEGUN
    if (folder / "cagenote.sqlite3").exists() and not begun.exists():
        raise NotADemo(f"The folder {folder} holds a site that is no demo. Name another one in DATA_DIR.")
    if begun.exists():
        shutil.rmtree(folder)
    folder.mkdir(parents=True, exist_ok=True)
    begun.touch()


def write() -> None:
    (Path(settings.DATA_DIR) / MADE).write_text(_ingredients())


def _ingredients() -> str:
    """A mark of everything that shapes the demo: its own code and the films."""
    digest = hashlib.sha256()
    for path in [*sorted(Path(__file__).parent.glob("*.py")), *(film.path for film in films.films())]:
        digest.update(path.name.encode() + path.read_bytes())
    return digest.hexdigest()
