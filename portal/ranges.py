"""The Range header of HTTP (RFC 9110, section 14), for one range of bytes."""

from __future__ import annotations

import re
from dataclasses import dataclass

_RANGE = re.compile(r"bytes[ \t]*=[ \t]*(?:(\d{1,18})-(\d{0,18})|-(\d{1,18}))[ \t]*", re.IGNORECASE | re.ASCII)


class Unsatisfiable(Exception):
    """No byte of the file lies in the range asked for: answer 416."""


@dataclass(frozen=True)
class ByteRange:
    """Bytes `first` to `last` of a file of `size` bytes, both inclusive, as in the header."""

    first: int
    last: int
    size: int

    @property
    def length(self) -> int:
        return self.last - self.first + 1

    @property
    def header(self) -> str:
        return f"bytes {self.first}-{self.last}/{self.size}"


def parse_range(header: str, size: int) -> ByteRange | None:
    """The one range that `header` asks of a file of `size` bytes, cut to the file's end.

    None where the header is to be ignored and the whole file sent: it is absent, malformed, in another unit, or names
    several ranges (which a server may answer with the whole; section 14.2). Raises Unsatisfiable when the range
    begins at or after the end, or asks for a suffix of nothing.
    """
    match = _RANGE.fullmatch(header.strip())
    if match is None:
        return None
    start, end, suffix = match.groups()
    if suffix is not None:
        return _last_bytes(int(suffix), size)
    first = int(start)
    last = int(end) if end else size - 1
    if end and last < first:
        return None  # malformed by section 14.1.1, so ignored
    if first >= size:
        raise Unsatisfiable
    return ByteRange(first, min(last, size - 1), size)


def _last_bytes(count: int, size: int) -> ByteRange:
    if count == 0 or size == 0:
        raise Unsatisfiable
    return ByteRange(max(0, size - count), size - 1, size)
