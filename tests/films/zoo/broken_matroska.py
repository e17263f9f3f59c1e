"""Matroska and WebM files that lie (RFC 8794 and RFC 9559), and films packed again inside them."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from .good import clip
from .kinds import OK, kind

SEGMENT, CLUSTER, TRACKS, ENTRY = 0x18538067, 0x1F43B675, 0x1654AE6B, 0xAE
INFO, CUES, ATTACHMENTS, TAGS = 0x1549A966, 0x1C53BB6B, 0x1941A469, 0x1254C367
GROUP, BLOCK, SIMPLE = 0xA0, 0xA1, 0xA3
HOLDERS = {SEGMENT, CLUSTER, TRACKS, ENTRY, INFO, GROUP, 0xE0}
BROKEN = ("broken_index", "damaged", "truncated", "not_video", "false_times", "too_short", "too_long", "no_picture")


@dataclass
class Element:
    """An element: content, or elements inside. `size` replaces the bytes of its length."""

    name: int
    content: bytes = b""
    inside: list[Element] = field(default_factory=list)
    size: bytes | None = None

    def bytes(self) -> bytes:
        body = self.content + b"".join(inner.bytes() for inner in self.inside)
        size = (len(body) | 1 << 56).to_bytes(8, "big") if self.size is None else self.size
        return self.name.to_bytes((self.name.bit_length() + 7) // 8, "big") + size + body

    def all(self, name: int) -> list[Element]:
        """The elements of a name in here, at any depth."""
        found = [inner for inner in self.inside if inner.name == name]
        return found + [deeper for inner in self.inside for deeper in inner.all(name)]

    def first(self, name: int) -> Element:
        return self.all(name)[0]


def parse(data: bytes) -> list[Element]:
    """The elements of well-formed bytes."""
    found, at = [], 0
    while at < len(data):
        wide = 9 - data[at].bit_length()
        name = int.from_bytes(data[at : at + wide], "big")
        at += wide
        wide = 9 - data[at].bit_length()
        length = int.from_bytes(data[at : at + wide], "big") & ((1 << 7 * wide) - 1)
        body = data[at + wide : at + wide + length]
        at += wide + length
        found.append(Element(name, inside=parse(body)) if name in HOLDERS else Element(name, body))
    return found


def number(name: int, value: int) -> Element:
    return Element(name, value.to_bytes(8, "big"))


Change = Callable[[Element], None]


def changed(*ends: str, heavy: bool = False, name: str | None = None) -> Callable[[Change], Change]:
    """Enter a kind: a good Matroska with the decorated change to its elements."""

    def enter(change: Change) -> Change:
        def write(path: Path) -> None:
            file = Element(0, inside=parse(clip(".mkv")))
            change(file)
            path.write_bytes(b"".join(element.bytes() for element in file.inside))

        kind(*ends, heavy=heavy, name=f"matroska {name or change.__name__}", suffix=".mkv")(write)
        return change

    return enter


@changed(OK)
def put_together_again(file: Element) -> None:
    """Nothing is changed: the surgery itself is sound."""


@changed(OK)
def of_unknown_sizes(file: Element) -> None:
    for element in [file.first(SEGMENT), *file.all(CLUSTER)]:
        element.size = b"\x01" + b"\xff" * 7


@changed(*BROKEN, OK)
def tracks_of_unknown_size(file: Element) -> None:
    file.first(TRACKS).size = b"\x01" + b"\xff" * 7


@changed(*BROKEN, OK)
def segment_beyond_the_end(file: Element) -> None:
    file.first(SEGMENT).size = b"\x01" + b"\x7f" * 7


@changed(*BROKEN, OK)
def cluster_beyond_the_end(file: Element) -> None:
    file.first(CLUSTER).size = b"\x01" + b"\x7f" * 7


@changed("broken_index")
def tracks_beyond_the_end(file: Element) -> None:
    file.first(TRACKS).size = b"\x01" + b"\x7f" * 7


@changed(*BROKEN, OK)
def a_block_beyond_the_end(file: Element) -> None:
    file.first(SIMPLE).size = b"\x0f\xff\xff\xff"


@changed(*BROKEN, OK)
def a_version_of_tomorrow(file: Element) -> None:
    file.inside[0].inside = []
    file.inside[0].content = number(0x42F7, 99).bytes() + Element(0x4282, b"matroska").bytes()


@changed(OK, "not_video")
def of_another_kind(file: Element) -> None:
    file.inside[0].content = Element(0x4282, b"spreadsheet").bytes()


@changed(OK)
def cues_of_noise(file: Element) -> None:
    file.first(SEGMENT).inside = [e for e in file.first(SEGMENT).inside if e.name != CUES]
    file.first(SEGMENT).inside.append(Element(CUES, b"\xff\x00" * 500))


@changed("too_long")
def a_length_of_weeks(file: Element) -> None:
    file.first(0x4489).content = b"\x41\xe0" + bytes(6)  # 2^31 as a double, in milliseconds


@changed(*BROKEN, OK)
def a_length_that_is_no_number(file: Element) -> None:
    file.first(0x4489).content = b"\x7f\xf8" + bytes(6)


@changed(OK, *BROKEN)
def an_endless_length(file: Element) -> None:
    file.first(0x4489).content = b"\x7f\xf0" + bytes(6)


@changed(*BROKEN, OK)
def a_scale_of_nought(file: Element) -> None:
    file.first(0x2AD7B1).content = b"\0"


@changed("too_long", *BROKEN)
def a_huge_scale(file: Element) -> None:
    file.first(0x2AD7B1).content = b"\x7f" + b"\xff" * 7


@changed(*BROKEN, OK, "too_large")
def pictures_of_a_huge_size(file: Element) -> None:
    for name in (0xB0, 0xBA):
        file.first(name).content = b"\x7f\xff\xff\xff"


@changed(*BROKEN)
def an_unknown_codec(file: Element) -> None:
    file.first(0x86).content = b"V_NOBODY/KNOWS"


@changed("too_large")
def two_thousand_tracks(file: Element) -> None:
    file.first(TRACKS).inside.extend([file.first(ENTRY)] * 2000)


@changed("broken_index", heavy=True)
def attachments_without_end(file: Element) -> None:
    held = Element(0x61A7, b"", [Element(0x466E, b"a.bin"), Element(0x465C, bytes(50_000_000))])
    file.first(SEGMENT).inside.insert(2, Element(ATTACHMENTS, b"", [held]))


@changed("broken_index", heavy=True)
def tags_without_end(file: Element) -> None:
    tag = Element(0x7373, b"", [Element(0x67C8, b"", [Element(0x45A3, b"X"), Element(0x4487, b"y" * 9_000_000)])])
    file.first(SEGMENT).inside.insert(2, Element(TAGS, b"", [tag] * 5))


@changed(*BROKEN, OK)
def laced_blocks(file: Element) -> None:
    for block in file.all(SIMPLE):
        head, data = block.content[:4], block.content[4:]
        block.content = head[:3] + bytes([head[3] | 0x06]) + b"\xff" + data  # 256 frames of one size, it says


@changed(*BROKEN, OK)
def xiph_lacing_that_lies(file: Element) -> None:
    for block in file.all(SIMPLE):
        block.content = block.content[:3] + bytes([block.content[3] | 0x02]) + b"\x02\xff\xff\xff" + block.content[4:]


def _packed(entry: Element, algorithm: int) -> None:
    settings = Element(0x5034, number(0x4254, algorithm).bytes())
    entry.inside.append(Element(0x6D80, Element(0x6240, settings.bytes()).bytes()))


@changed(OK)
def packed_by_zlib(file: Element) -> None:
    entry = file.first(ENTRY)
    _packed(entry, 0)
    for block in file.all(SIMPLE):
        if block.content[:1] == b"\x81":
            block.content = block.content[:4] + zlib.compress(block.content[4:])


@changed(*BROKEN, heavy=True)
def a_zlib_bomb(file: Element) -> None:
    _packed(file.first(ENTRY), 0)
    bomb = zlib.compress(bytes(500_000_000), 9)
    for block in file.all(SIMPLE):
        if block.content[:1] == b"\x81":
            block.content = block.content[:4] + bomb


@changed(*BROKEN)
def zlib_of_noise(file: Element) -> None:
    _packed(file.first(ENTRY), 0)


@changed(*BROKEN, OK)
def packed_by_an_unknown_way(file: Element) -> None:
    _packed(file.first(ENTRY), 77)


@changed("false_times")
def clusters_of_no_time(file: Element) -> None:
    for cluster in file.all(CLUSTER):
        cluster.inside = [inner for inner in cluster.inside if inner.name != 0xE7]


@changed("too_long")
def a_last_cluster_hours_later(file: Element) -> None:
    last = Element(CLUSTER, b"", [number(0xE7, 10_000_000), *file.all(SIMPLE)[-8:]])
    file.first(SEGMENT).inside.append(last)


@changed("false_times")
def a_second_half_that_begins_again(file: Element) -> None:
    pictures = file.all(SIMPLE)
    file.first(SEGMENT).inside.append(Element(CLUSTER, b"", [number(0xE7, 0), *pictures]))


@changed("not_video", "no_picture", "truncated", "too_short")
def a_segment_of_nothing(file: Element) -> None:
    file.first(SEGMENT).inside = []


def _cut(share: float) -> None:
    @kind(OK, "truncated", "not_video", "too_short", name=f"matroska cut at {share:.0%}", suffix=".mkv")
    def write(path: Path) -> None:
        path.write_bytes(clip(".mkv")[: round(len(clip(".mkv")) * share)])


for _share in (0.02, 0.3, 0.6, 0.95):
    _cut(_share)
