"""Collect the static files only when one of them has changed: hashing and packing all of them takes many seconds."""

from __future__ import annotations

import hashlib
from importlib import metadata
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command

STAMP = ".collected-from"


def collect() -> bool:
    """Bring STATIC_ROOT up to date. Returns whether there was anything to do."""
    stamp, now = Path(settings.STATIC_ROOT) / STAMP, _ingredients()
    if stamp.is_file() and stamp.read_text() == now:
        return False
    call_command("collectstatic", verbosity=0, interactive=False, clear=True)
    stamp.write_text(now)
    return True


def _ingredients() -> str:
    """A mark of every file's place, size and time, and of the packages that pack them."""
    packers = (
        f"{metadata.version('django')} {metadata.version('whitenoise')} {settings.STORAGES['staticfiles']['BACKEND']}"
    )
    digest = hashlib.sha256(packers.encode())
    for finder in get_finders():
        for path, storage in finder.list([]):
            state = Path(storage.path(path)).stat()
            digest.update(f"\n{path} {state.st_size} {state.st_mtime_ns}".encode())
    return digest.hexdigest()
