"""Where workers measure: a folder for each attempt, locked for as long as its worker lives.

The kernel lets go of a lock when its process ends, however it ends. So who finds a folder unlocked knows that it belongs to
nobody any more, and clears it away, at once and without guessing by its age.
"""

from __future__ import annotations

import fcntl
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import UUID

from django.conf import settings

LOCK = ".worker"
JUST_MADE_S = 5.0  # between its making and its lock


def root() -> Path:
    return Path(settings.DATA_DIR) / "measuring"


@contextmanager
def workplace(clip_id: UUID) -> Iterator[Path]:
    """A folder of this attempt alone, gone at the end."""
    root().mkdir(parents=True, exist_ok=True)
    place = Path(tempfile.mkdtemp(dir=root(), prefix=f"{clip_id}-"))
    with (place / LOCK).open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        try:
            yield place
        finally:
            shutil.rmtree(place, ignore_errors=True)


def clear(pattern: str = "*") -> int:
    """Delete the workplaces of workers that are gone. How many there were."""
    left = [place for place in root().glob(pattern) if _is_left(place)]
    for place in left:
        shutil.rmtree(place, ignore_errors=True)
    return len(left)


def clear_of(clip_id: UUID) -> None:
    """What a killed worker left of this clip. One that is alive sees for itself that the clip is gone."""
    clear(f"{clip_id}-*")


def _is_left(place: Path) -> bool:
    try:
        with (place / LOCK).open() as lock:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return True
    except BlockingIOError:
        return False
    except FileNotFoundError:
        return _age_s(place) > JUST_MADE_S
    except NotADirectoryError:
        return False


def _age_s(place: Path) -> float:
    try:
        return time.time() - place.stat().st_mtime
    except FileNotFoundError:
        return 0.0
