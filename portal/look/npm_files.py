"""Static files that come from npm: each named here, so that nothing else of a package is ever served.

They stand under `npm/` and come from `node_modules`, where the set-up step (or the image) put them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.finders import BaseFinder
from django.core.checks import CheckMessage, Warning
from django.core.files.storage import FileSystemStorage

FILES = {
    "npm/tus.min.js": "tus-js-client/dist/tus.min.js",
    "npm/tus.min.js.map": "tus-js-client/dist/tus.min.js.map",  # the file above names it
}


class _Renamed(FileSystemStorage):
    """node_modules under our own names."""

    prefix = ""

    def path(self, name: str) -> str:
        return str(Path(self.location) / FILES[name.replace("\\", "/")])


class NpmFinder(BaseFinder):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        self.storage = _Renamed(Path(settings.BASE_DIR) / "node_modules")

    def check(self, **kwargs: Any) -> list[CheckMessage]:
        return [
            Warning(
                f"The static file {name} is not there: clips then travel in one piece, by a plain form.",
                hint="Run `make setup` once more.",
                id="cagenote.W008",
            )
            for name in FILES
            if not self.storage.exists(name)
        ]

    def find(self, path: str, find_all: bool = False, **kwargs: Any) -> Any:
        found = self.storage.path(path) if path in FILES and self.storage.exists(path) else None
        return ([found] if found else []) if find_all else (found or [])

    def list(self, ignore_patterns: Iterable[str] | None) -> Iterator[tuple[str, Any]]:
        for name in FILES:
            if self.storage.exists(name):
                yield name, self.storage
