"""Take an MP4 apart into its boxes, change some, and put it together again with sizes that fit, or do not."""

from __future__ import annotations

import struct
from dataclasses import dataclass, field

__all__ = ["Box", "box", "numbers", "parse", "tree"]

HOLDERS = frozenset(b"moov trak mdia minf stbl edts dinf mvex moof traf udta".split())


@dataclass
class Box:
    """A box: content, or boxes inside. `size` replaces the true length in its head."""

    name: bytes
    content: bytes = b""
    inside: list[Box] = field(default_factory=list)
    size: int | None = None

    def bytes(self) -> bytes:
        body = self.content + b"".join(inner.bytes() for inner in self.inside)
        size = len(body) + 8 if self.size is None else self.size
        return struct.pack(">I", size & 0xFFFFFFFF) + self.name + body

    def at(self, path: str) -> Box:
        """The first box on a path such as "trak/mdia/mdhd"."""
        name, _, rest = path.partition("/")
        found = next(inner for inner in self.inside if inner.name == name.encode())
        return found.at(rest) if rest else found

    def drop(self, path: str) -> None:
        """Take out the first box on the path."""
        where, _, name = path.rpartition("/")
        home = self.at(where) if where else self
        home.inside.remove(home.at(name))

    def put(self, at: int, layout: str, *values: int) -> None:
        """Write numbers over the content at a place."""
        data = bytearray(self.content)
        struct.pack_into(layout, data, at, *values)
        self.content = bytes(data)


def parse(data: bytes) -> list[Box]:
    """The boxes of well-formed bytes."""
    found, at = [], 0
    while at + 8 <= len(data):
        size = struct.unpack_from(">I", data, at)[0]
        name, head = data[at + 4 : at + 8], 8
        if size == 1:
            size, head = struct.unpack_from(">Q", data, at + 8)[0], 16
        body = data[at + head : at + size]
        found.append(Box(name, inside=parse(body)) if name in HOLDERS else Box(name, body))
        at += size
    return found


def tree(data: bytes) -> Box:
    """The whole file as one box without a head: use `.inside` and `.at`."""
    return Box(b"", inside=parse(data))


def whole(file: Box) -> bytes:
    """The file's bytes."""
    return b"".join(inner.bytes() for inner in file.inside)


def box(name: str, content: bytes = b"", *inside: Box, size: int | None = None) -> Box:
    """A new box."""
    return Box(name.encode(), content, list(inside), size)


def numbers(*values: int) -> bytes:
    """Unsigned numbers of four bytes."""
    return b"".join(struct.pack(">I", value & 0xFFFFFFFF) for value in values)
