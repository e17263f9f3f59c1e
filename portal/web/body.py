"""The body of a request while it comes in: a little in memory, more in a file without a name.

The file lies in a folder of ours and goes with the process, also when that is killed: the kernel knows it by us alone.
"""

from __future__ import annotations

import tempfile
from io import BytesIO
from pathlib import Path
from typing import IO

IN_MEMORY = 64 * 1024


class TooLong(Exception):
    """More came than was to come."""


class Body:
    """What waitress's receivers put a body into: `append` as it comes, then `getfile` to read it from its beginning."""

    def __init__(self, folder: Path, most: int) -> None:
        self._folder, self._most = folder, most
        self._file: IO[bytes] = BytesIO()
        self._size = 0

    def __len__(self) -> int:
        return self._size

    def append(self, piece: bytes) -> None:
        """Raises TooLong, or OSError when the disk is full."""
        if self._size + len(piece) > self._most:
            raise TooLong
        if isinstance(self._file, BytesIO) and self._size + len(piece) > IN_MEMORY:
            self._move_to_disk(self._file)
        written = self._file.write(piece)
        while written < len(piece):  # a file without a buffer may take a part alone
            written += self._file.write(memoryview(piece)[written:])
        self._size += len(piece)

    def _move_to_disk(self, held: BytesIO) -> None:
        file = tempfile.TemporaryFile(dir=self._folder, buffering=0)  # noqa: SIM115
        file.write(held.getbuffer())
        self._file = file

    def getfile(self) -> IO[bytes]:
        self._file.seek(0)
        return self._file

    def close(self) -> None:
        self._file.close()
