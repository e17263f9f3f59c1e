"""The list of what was erased, as a file beside the database: a backup brings a family back, this list does not.

One JSON object a line: `at`, `kind`, and a salted hash of an id, never a name. It is written before the rows go, so that what
was begun and cut off is done at the next start. Restoring a backup must leave it alone (portal/privacy/again.py).
"""

from __future__ import annotations

import json
import logging
import os
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils import timezone

from portal.privacy import marks

log = logging.getLogger(__name__)
WITHDRAWN, ENDED = "withdrawn", "ended"  # kinds beside those of an Erasure: a submission, a consent


def path() -> Path:
    return Path(settings.ERASED_LEDGER)


@dataclass(frozen=True)
class Ledger:
    """The hashes of the list by kind and salt. There are as many salts as lists that were put together."""

    hashes: frozenset[tuple[str, str, str]]
    salts: frozenset[str]

    def holds(self, kind: str, key: str) -> bool:
        return any((kind, salt, marks.hashed(salt, kind, key)) in self.hashes for salt in self.salts)


def read() -> Ledger:
    """The whole list. A line that a power cut broke off is passed over."""
    lines = list(_lines(path()))
    hashes = frozenset((line["kind"], line["salt"], line["hash"]) for line in lines)
    return Ledger(hashes, frozenset(line["salt"] for line in lines))


def note(kind: str, key: str) -> None:
    """Add a line and see it onto the disk. Raises OSError where the disk does not take it."""
    note_all([(kind, key)])


def note_all(things: Iterable[tuple[str, str]]) -> None:
    """Add a line for each kind and key, as `note` does for one."""
    salt, at = _salt(), timezone.now().isoformat()
    append([{"at": at, "kind": kind, "salt": salt, "hash": marks.hashed(salt, kind, key)} for kind, key in things])


def append(lines: Iterable[dict[str, Any]]) -> None:
    text = "".join(json.dumps(line) + "\n" for line in lines)
    path().parent.mkdir(parents=True, exist_ok=True)
    handle = os.open(path(), os.O_RDWR | os.O_APPEND | os.O_CREAT, 0o600)
    try:
        if _is_broken_off(handle):
            text = "\n" + text
        os.write(handle, text.encode())
        os.fsync(handle)
    finally:
        os.close(handle)


def merge(other: Path) -> int:
    """Take over the lines of another list that are not in ours: for moving to another machine. Returns how many."""
    known = {(line["kind"], line["hash"]) for line in _lines(path())}
    new = [line for line in _lines(other) if (line["kind"], line["hash"]) not in known]
    if new:
        append(new)
    return len(new)


def _salt() -> str:
    """The salt of the first line, so that a long list still needs one hash for each thing asked about."""
    first = next(iter(_lines(path())), None)
    return str(first["salt"]) if first else secrets.token_hex(16)


def _lines(file: Path) -> Iterable[dict[str, Any]]:
    try:
        text = file.read_text()
    except FileNotFoundError:
        return
    for line in text.splitlines():
        try:
            read = json.loads(line)
        except ValueError:
            log.warning("%s holds a line that is cut off; it is passed over.", file.name)
            continue
        if isinstance(read, dict) and {"kind", "salt", "hash"} <= read.keys():
            yield read


def _is_broken_off(handle: int) -> bool:
    size = os.fstat(handle).st_size
    return size > 0 and os.pread(handle, 1, size - 1) != b"\n"
