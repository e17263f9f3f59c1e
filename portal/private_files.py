"""Footage on disk is read by its owner alone: the user who runs Cagenote and, of what is shown, the front that sends it.

Every process of ours reads the settings first, and they call `ours_alone`; what a process starts inherits it. `keep` puts
right what lies there already, from before or from a careless copy. It knows its own names and touches nothing else: a data
folder that was set to somebody's home leaves that home as it is.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

OTHERS = 0o077  # group and everybody
FRONT = 0o050  # what the front's group may do with a folder: look and enter
IN_DATA = ("secret-key", "cagenote.sqlite3*", "beat-schedule*", "redis", "measuring")
SEALED = ("originals", "incoming")  # handed to nobody, so not to the front either
SHOWN = ("clips", "evaluations")


def ours_alone() -> None:
    """From here on nobody else may read what this process, and any that it starts, puts on the disk."""
    os.umask(OTHERS)


def keep(data: Path, media: Path, group: int | None = None) -> None:
    """Take away what others may do with the folders and what we know in them; let the front's `group` read what is shown.

    What belongs to another user is left as it is; `open_to_others` names it.
    """
    if group is not None:  # before Django makes them, as open to the front as everything else
        for name in SEALED:
            (media / name).mkdir(parents=True, exist_ok=True)
    for path in _private(data, media):
        _allow(path, 0)
    if group is None:
        return
    for path in (media, *(inner for name in SHOWN for inner in _tree(media / name))):
        _allow(path, FRONT, group)
    if media.is_relative_to(data):
        for folder in (data, *(parent for parent in media.parents if parent.is_relative_to(data))):
            _allow(folder, 0o010, group)  # to pass through


def open_to_others(data: Path, media: Path, group: int | None = None) -> list[Path]:
    """The folders, the database and the key, as far as others may read or enter them."""
    found = [data, media, data / "secret-key", data / "cagenote.sqlite3"]
    forbidden = OTHERS & ~(0o070 if group is not None else 0)
    return [path for path in dict.fromkeys(found) if path.exists() and _mode(path) & forbidden]


def _private(data: Path, media: Path) -> Iterator[Path]:
    for folder, names in ((data, IN_DATA), (media, (*SEALED, *SHOWN))):
        known = [path for name in names for path in folder.glob(name)]
        if known or (folder.is_dir() and not any(folder.iterdir())):
            yield folder
        for path in known:
            yield from _tree(path)


def _tree(path: Path) -> Iterator[Path]:
    """The path and, of a folder, all beneath it; nothing where there is none. Links are not followed."""
    if path.is_symlink() or not path.exists():
        return
    yield path
    if path.is_dir():
        for folder, folders, files in os.walk(path):
            for name in (*folders, *files):
                if not (inner := Path(folder) / name).is_symlink():
                    yield inner


def _allow(path: Path, bits: int, group: int | None = None) -> None:
    """Let group and others do no more than `bits` (a file is never entered), and give the path to `group`."""
    with suppress(FileNotFoundError, PermissionError):  # gone in between; another user's, which the check names
        about = path.stat()
        mode = stat.S_IMODE(about.st_mode) & ~OTHERS
        if stat.S_ISDIR(about.st_mode):
            mode |= bits | (stat.S_ISGID if group is not None else 0)  # what is made in it gets the group, too
        else:
            mode |= bits & 0o044
        if group is not None and about.st_gid != group:
            os.chown(path, -1, group)
        if mode != stat.S_IMODE(about.st_mode):
            path.chmod(mode)


def _mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)
