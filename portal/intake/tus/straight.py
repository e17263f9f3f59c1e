"""The bytes of a PATCH, put at the end of their upload while they come in (portal/web/straight.py).

The same rules as for `parts.append`: each piece under the lock for that write alone, and only where the file ends as its
sender takes it to. When somebody else was there the rest is thrown away, and the view answers with a conflict.
"""

from __future__ import annotations

from io import BytesIO
from typing import IO, Any
from uuid import UUID

from portal.intake import receiving
from portal.intake.film_kind import HEAD
from portal.intake.tus import parts
from portal.web.straight import TAKER


class Straight:
    """Takes the body of one PATCH at offset `at`."""

    def __init__(self, key: UUID, at: int) -> None:
        self.key, self.at, self.end = key, at, at
        self.has_moved = self._is_no_film = False
        self._came = 0
        self._file = parts.Open(key, make=at == 0)

    def append(self, piece: bytes) -> None:
        self._came += len(piece)
        if self.has_moved or self._is_no_film:
            return
        try:
            self._file.append(self.end, piece)
        except parts.Moved:
            self.has_moved = True
            return
        if self.end == 0 and len(piece) >= HEAD:
            self._is_no_film = not receiving.is_film(piece[:HEAD])  # the view says so
        self.end += len(piece)

    def __len__(self) -> int:
        return self._came

    def getfile(self) -> IO[bytes]:
        return BytesIO()

    def environ(self) -> dict[str, Any]:
        return {TAKER: self}

    def close(self) -> None:
        """What came stays, as of every broken line."""
        self._file.close()
