"""The film in a plain form, put into a file of its own while the form comes in (portal/web/straight.py).

Read by Django, the body would lie on the way whole, then the film in a second file, then in the storage's. Here the loop
cuts the form where its parts end and writes the film once; the other fields, which are small, are left for the view.
"""

from __future__ import annotations

import os
from io import BytesIO
from typing import IO, Any
from urllib.parse import urlencode

from multipart import MultipartError, MultipartSegment, PushMultipartParser

from portal.intake import receiving
from portal.intake.behind import Behind
from portal.intake.film_kind import HEAD
from portal.intake.receiving import Arrived
from portal.web.straight import TAKER

FIELD = "clip"
MOST_OF_FIELDS = 64 * 1024


class FormFilm:
    """Takes the body of a form. `name` is the film's as it was sent, None while none has come."""

    def __init__(self, boundary: str, length: int) -> None:
        self.name: str | None = None
        self.size = 0
        self._parser = PushMultipartParser(boundary, content_length=length, max_segment_count=20)
        self._path = receiving.new_file()
        self._out = self._path.open("wb", buffering=0)
        self._behind = Behind()
        self._head, self._came, self._of_fields = b"", 0, 0
        self._fields: list[tuple[str, bytearray]] = []
        self._part: MultipartSegment | None = None
        self._is_broken = False

    def append(self, piece: bytes) -> None:
        self._came += len(piece)
        if self._is_broken or not piece:  # by an empty piece the parser would take the form for ended
            return
        try:
            for event in self._parser.parse(piece):
                self._take(event)
        except MultipartError:
            self._is_broken = True

    def _take(self, event: MultipartSegment | bytes | bytearray | None) -> None:
        if isinstance(event, MultipartSegment):
            self._begin(event)
        elif event is None:
            self._part = None
        elif self._is_film:
            self._write(event)
        else:
            self._of_fields += len(event)
            self._is_broken = self._is_broken or self._of_fields > MOST_OF_FIELDS
            if not self._is_broken:
                self._fields[-1][1].extend(event)

    def _begin(self, part: MultipartSegment) -> None:
        self._part = part
        if part.filename is None:
            self._fields.append((part.name or "", bytearray()))
        elif part.name != FIELD or self.name is not None:
            self._is_broken = True
        else:
            self.name = part.filename

    @property
    def _is_film(self) -> bool:
        return self._part is not None and self._part.filename is not None

    def _write(self, piece: bytes | bytearray) -> None:
        if len(self._head) < HEAD:
            self._head += bytes(piece[: HEAD - len(self._head)])
        self.size += len(piece)
        if len(self._head) == HEAD and not receiving.is_film(self._head):
            return  # refused by the view; the disk need not hold it
        left = memoryview(piece)
        while left:
            left = left[self._out.write(left) or 0 :]
        self._behind.wrote(self._out.fileno(), len(piece))

    def __len__(self) -> int:
        return self._came

    def _as_form(self) -> bytes:
        """The fields beside the film, once all came. Of a form that is none nothing is left, so that its token is missed."""
        try:
            self._parser.close()
        except MultipartError:
            self._is_broken = True
        return b"" if self._is_broken else urlencode([(name, bytes(value)) for name, value in self._fields]).encode()

    def getfile(self) -> IO[bytes]:
        return BytesIO(self._as_form())

    def environ(self) -> dict[str, Any]:
        length = str(len(self._as_form()))
        return {TAKER: self, "CONTENT_TYPE": "application/x-www-form-urlencoded", "CONTENT_LENGTH": length}

    def arrived(self) -> Arrived | None:
        """The film, once it is on the disk itself; None where the form held none. Raises Refused."""
        if not self.name or self._is_broken:
            return None
        receiving.refuse(self._head, self.size)
        os.fsync(self._out.fileno())
        return Arrived(self._path, self.size)

    def close(self) -> None:
        """The film goes, unless it has become a clip and lies elsewhere."""
        self._out.close()
        self._path.unlink(missing_ok=True)
