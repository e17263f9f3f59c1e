"""MP4s whose index lies: tables, sizes, places and lengths that the file does not hold (ISO/IEC 14496-12)."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from pathlib import Path

from .good import PICTURES, clip
from .kinds import OK, kind
from .mp4 import Box, box, numbers, tree, whole

TABLE = "moov/trak/mdia/minf/stbl"
MANY = 0xFFFFFFFF
BROKEN = ("broken_index", "damaged", "truncated", "not_video", "false_times", "too_short", "too_long", "no_picture")
Change = Callable[[Box], None]


def changed(*ends: str, heavy: bool = False, suffix: str = ".mp4") -> Callable[[Change], Change]:
    """Enter a kind: a good clip with the decorated change to its boxes."""

    def enter(change: Change) -> Change:
        def write(path: Path) -> None:
            file = tree(clip(suffix))
            change(file)
            path.write_bytes(whole(file))

        kind(*ends, heavy=heavy, name=change.__name__, suffix=suffix)(write)
        return change

    return enter


def _claims(table: str, ends: tuple[str, ...], content: bytes, called: str) -> None:
    def change(file: Box) -> None:
        stbl = file.at(TABLE)
        stbl.inside = [inner for inner in stbl.inside if inner.name != table.encode()]
        stbl.inside.append(box(table, content))

    change.__name__ = f"{table} {called}"
    changed(*ends)(change)


for _table in ("stts", "ctts", "stsc", "stco", "co64", "stss", "stps"):
    _claims(_table, ("broken_index",), numbers(0, MANY), "claims four billion")
    _claims(_table, ("broken_index",), numbers(0, 200_000_000, 1, 1, 1, 1), "claims 200 million")
_claims("stsz", ("broken_index",), numbers(0, 0, MANY), "claims four billion")
_claims("stsz", ("broken_index",), numbers(0, 1, MANY), "of one size claims four billion")
_claims("stsz", ("broken_index",), numbers(0, 100, 134_000_000), "of one size claims 134 million")
_claims("stsz", ("broken_index",), numbers(0, 1, 50_000), "of one size claims 50 000")
_claims("stz2", ("broken_index",), numbers(0, 4, MANY), "claims four billion")
_claims("stts", ("broken_index",), numbers(0, 1, MANY, 1), "repeats four billion times")
_claims("ctts", ("broken_index",), numbers(0, 1, MANY, 1), "repeats four billion times")
_claims("stts", (*BROKEN, OK), numbers(0, 0), "is empty")
_claims("stsc", (*BROKEN, OK), numbers(0, 0), "is empty")
_claims("stsz", (*BROKEN, OK), numbers(0, 0, 0), "is empty")
_claims("stco", (*BROKEN, OK), numbers(0, 0), "is empty")
_claims("stts", ("false_times",), numbers(0, 1, PICTURES, 0), "never moves")
_claims("stts", ("too_long", "damaged"), numbers(0, 1, PICTURES, 0x7FFFFFFF), "moves by hours")
_claims("stts", (*BROKEN, OK), numbers(0, 1, PICTURES, MANY), "moves backwards")
_claims("stco", ("truncated", "damaged", "not_video"), numbers(0, 1, 0xFFFFFFF0), "points beyond the end")
_claims("co64", (OK, *BROKEN), numbers(0, 1, 0x7FFFFFFF, MANY), "points beyond all ends")
_claims("stco", BROKEN, numbers(0, 1, 0), "points at the head")
_claims("stsz", BROKEN, numbers(0, 0x7FFFFFFF, PICTURES), "of two gigabytes each")
_claims("stsc", (*BROKEN, OK), numbers(0, 1, 1, MANY, 1), "claims four billion in a chunk")
_claims("stsc", (*BROKEN, OK), numbers(0, 2, 5, 1, 1, 1, 1, 1), "runs backwards")
_claims("stss", (OK,), numbers(0, 1, 99_999), "points beyond the end")
_claims("stss", (OK,), numbers(0, 0), "names no key picture")
_claims("ctts", ("false_times", "damaged"), numbers(0, 1, PICTURES, 0x80000000), "is very negative")
_claims("ctts", ("false_times",), struct.pack(">IIIi", 1 << 24, 1, PICTURES, -512), "forgets the b frames")
_claims("sbgp", (OK,), b"\0\0\0\0roll" + numbers(MANY), "claims four billion")
_claims("sdtp", ("not_video",), b"", "is empty")


def _header(path: str, at: int, layout: str, values: tuple[int, ...], called: str, *ends: str) -> None:
    def change(file: Box) -> None:
        file.at(path).put(at, layout, *values)

    change.__name__ = called
    changed(*ends)(change)


_header("moov/mvhd", 16, ">I", (0,), "the film lasts nothing", OK)
_header("moov/mvhd", 16, ">I", (MANY,), "the film lasts as long as can be written", OK)
_header("moov/mvhd", 16, ">I", (MANY - 1,), "the film says it lasts weeks", "too_long")
_header("moov/mvhd", 12, ">I", (0,), "the film has no time scale", OK, *BROKEN)
_header("moov/mvhd", 12, ">I", (1,), "the film has a scale of seconds", "too_long", OK)
_header("moov/trak/mdia/mdhd", 12, ">I", (0,), "the track has no time scale", OK, *BROKEN)
_header("moov/trak/mdia/mdhd", 12, ">I", (1,), "the track has a scale of seconds", "too_long", *BROKEN)
_header("moov/trak/mdia/mdhd", 12, ">I", (MANY,), "the track has the finest scale", OK, *BROKEN)
_header("moov/trak/mdia/mdhd", 16, ">I", (0,), "the track lasts nothing", OK)
_header("moov/trak/mdia/mdhd", 16, ">I", (MANY - 1,), "the track says it lasts days", OK)
_header("moov/trak/tkhd", 12, ">I", (0,), "the track has no number", OK, *BROKEN)
_header("moov/trak/tkhd", 76, ">II", (MANY, MANY), "the track is shown huge", OK)
_header("moov/trak/tkhd", 76, ">II", (0, 0), "the track is shown as nothing", OK)
_header("moov/trak/tkhd", 40, ">9i", (0,) * 9, "the picture is shown flat", OK)
_header(
    "moov/trak/tkhd",
    40,
    ">9i",
    (46341, 46341, 0, -46341, 46341, 0, 0, 0, 1 << 30),
    "the picture is turned by 45 degrees",
    OK,
)
_header("moov/trak/tkhd", 40, ">9i", (-65536, 0, 0, 0, 65536, 0, 0, 0, 1 << 30), "the picture is mirrored", OK)
_header(
    "moov/trak/tkhd", 40, ">9i", (65536, 0, 0, 0, -65536, 0, 0, 0, 1 << 30), "the picture is mirrored upside down", OK
)
_header(
    "moov/trak/tkhd", 40, ">9i", (0, 65536, 0, 65536, 0, 0, 0, 0, 1 << 30), "the picture is mirrored and turned", OK
)
_header("moov/trak/tkhd", 40, ">9i", (2**31 - 1,) * 9, "the picture's matrix is full", OK)
_header("moov/trak/mdia/minf/stbl/stsd", 40, ">HH", (0, 0), "the sample entry has no size", OK)
_header("moov/trak/mdia/minf/stbl/stsd", 40, ">HH", (65535, 65535), "the sample entry is huge", OK, "too_large")
_header("moov/trak/mdia/minf/stbl/stsd", 12, ">4s", (b"zzzz",), "the codec is unknown", "not_video", "no_picture")  # type: ignore[arg-type]
_header("moov/trak/mdia/minf/stbl/stsd", 4, ">I", (MANY,), "four billion sample entries", OK, *BROKEN)


def _edits(
    called: str,
    *edits: tuple[int, int, int, int],
    ends: tuple[str, ...] = (OK,),
    count: int | None = None,
    heavy: bool = False,
) -> None:
    """Edits: length in the film's scale, start in the track's (-1 is a pause), rate and its fraction."""

    def change(file: Box) -> None:
        trak = file.at("moov/trak")
        trak.inside = [inner for inner in trak.inside if inner.name != b"edts"]
        body = b"".join(struct.pack(">Iihh", *edit) for edit in edits)
        trak.inside.insert(1, box("edts", b"", box("elst", numbers(0, len(edits) if count is None else count) + body)))

    change.__name__ = called
    changed(*ends, heavy=heavy)(change)


_edits("an edit list without an edit")
_edits("an edit list that claims four billion", count=MANY, ends=("broken_index",))
_edits("a pause before the film", (500, -1, 1, 0), (800, 0, 1, 0))
_edits("a pause of 1 000 seconds before the film", (1_000_000, -1, 1, 0), (800, 0, 1, 0))
_edits("nothing but a pause", (800, -1, 1, 0), ends=(OK, "damaged", "truncated", "too_short"))
_edits("an edit from before the start", (800, -500, 1, 0), ends=(OK, *BROKEN))
_edits("an edit that stands still", (800, 0, 0, 0), ends=(OK, *BROKEN))
_edits("an edit at double speed", (800, 0, 2, 0), ends=(OK, *BROKEN))
_edits("the same edit twice", (800, 0, 1, 0), (800, 0, 1, 0), ends=(OK, *BROKEN))
_edits("hundreds of edits", *[(10, 100 * place, 1, 0) for place in range(200)], ends=(OK, *BROKEN))
_edits("scores of whole repeats", *[(800, 0, 1, 0)] * 20, ends=(OK, "too_long"))
_edits("hundreds of whole repeats", *[(800, 0, 1, 0)] * 400, ends=("too_long", *BROKEN), heavy=True)
_edits("an edit that begins behind the end", (800, 9_999_999, 1, 0), ends=(OK, *BROKEN))
_edits("an edit of no length", (0, 0, 1, 0), ends=(OK, *BROKEN))
_edits("edits that run backwards", *[(100, 9000 - 1000 * place, 1, 0) for place in range(8)], ends=(OK, *BROKEN))


@changed("truncated", "damaged", "not_video")
def an_index_without_pictures(file: Box) -> None:
    file.drop("mdat")


@changed("truncated")
def pictures_without_an_index(file: Box) -> None:
    file.drop("moov")


@changed("no_picture")
def an_empty_index(file: Box) -> None:
    file.at("moov").inside = []


@changed("truncated", "no_picture", "not_video")
def a_track_without_a_table(file: Box) -> None:
    file.drop("moov/trak/mdia/minf/stbl")


@changed(OK)
def a_track_without_a_handler(file: Box) -> None:
    file.drop("moov/trak/mdia/hdlr")


@changed("truncated")
def an_index_that_claims_to_go_beyond_the_end(file: Box) -> None:
    file.at("moov").size = 0x7FFFFFFF


@changed(OK)
def a_last_box_of_size_nought(file: Box) -> None:
    file.at("moov").size = 0


@changed(OK, *BROKEN)
def a_table_of_size_nought(file: Box) -> None:
    file.at(f"{TABLE}/stsz").size = 0


@changed(OK, *BROKEN)
def a_track_smaller_than_its_head(file: Box) -> None:
    file.at("moov/trak").size = 4


@changed(OK, *BROKEN)
def a_box_that_overflows_64_bits(file: Box) -> None:
    file.at("moov").inside.insert(0, Box(b"free", numbers(MANY, MANY), size=1))


@changed(OK, *BROKEN)
def a_first_box_that_overflows_64_bits(file: Box) -> None:
    file.inside.insert(1, Box(b"free", numbers(MANY, 0xFFFFFFF0), size=1))


@changed("broken_index")
def boxes_ten_thousand_deep(file: Box) -> None:
    inner = box("udta")
    for _ in range(10_000):
        inner = Box(b"udta", inner.bytes())
    file.at("moov").inside.append(inner)


@changed("broken_index")
def boxes_a_little_too_deep(file: Box) -> None:
    inner = Box(b"udta", b"")
    for _ in range(15):
        inner = Box(b"trak", inner.bytes())
    file.at("moov/trak/mdia").inside.append(inner)


@changed("broken_index")
def two_hundred_thousand_boxes(file: Box) -> None:
    file.at("moov").inside.append(Box(b"udta", box("free").bytes() * 200_000))


@changed("too_large")
def two_thousand_tracks(file: Box) -> None:
    track = file.at("moov/trak")
    file.at("moov").inside.extend([track] * 2000)


@changed(OK)
def a_large_space(file: Box) -> None:
    file.inside.append(box("free", bytes(20_000_000)))


@changed("broken_index", heavy=True)
def a_huge_index_full_of_user_data(file: Box) -> None:
    file.at("moov").inside.append(Box(b"udta", box("\xa9nam", bytes(60_000_000)).bytes().replace(b"\xc2", b"", 1)))


@changed("broken_index", heavy=True)
def a_huge_box_of_its_own_kind(file: Box) -> None:
    file.inside.append(
        box("uuid", b"\xbe\x7a\xcf\xcb\x97\xa9\x42\xe8\x9c\x71\x99\x94\x91\xe3\xaf\xac" + bytes(200_000_000))
    )


@changed(OK)
def user_data_of_noise(file: Box) -> None:
    file.at("moov").inside.append(Box(b"udta", b"\xff" * 5000))


@changed("broken_index")
def a_packed_index(file: Box) -> None:
    """QuickTime's zlib-packed index that claims to unpack to two gigabytes."""
    packed = zlib.compress(file.at("moov").bytes())
    inside = box("cmov", b"", box("dcom", b"zlib"), box("cmvd", numbers(0x7FFFFFFF) + packed))
    file.inside[file.inside.index(file.at("moov"))] = box("moov", b"", inside)


@changed("elsewhere")
def a_reference_to_another_file(file: Box) -> None:
    entry = box("url ", numbers(0) + b"file:///etc/hostname\0")
    file.at("moov/trak/mdia/minf/dinf/dref").content = numbers(0, 1) + entry.bytes()


@changed("elsewhere")
def a_reference_to_an_address(file: Box) -> None:
    entry = box("url ", numbers(0) + b"http://127.0.0.1:9/film.mp4\0")
    file.at("moov/trak/mdia/minf/dinf/dref").content = numbers(0, 1) + entry.bytes()


@changed("elsewhere")
def a_reference_by_alias(file: Box) -> None:
    entry = box(
        "alis", numbers(0) + bytes(2) + b"\0\x96" + bytes(142) + b"\0\x02\0\x10/etc/hostname\0\0\0\0\xff\xff\0\0"
    )
    file.at("moov/trak/mdia/minf/dinf/dref").content = numbers(0, 1) + entry.bytes()


@changed("broken_index")
def four_billion_references(file: Box) -> None:
    file.at("moov/trak/mdia/minf/dinf/dref").put(4, ">I", MANY)


@changed("broken_index")
def a_fragment_that_claims_four_billion(file: Box) -> None:
    _add_fragment(file, MANY)


@changed("broken_index")
def a_fragment_that_claims_100_million(file: Box) -> None:
    _add_fragment(file, 100_000_000)


def _add_fragment(file: Box, count: int) -> None:
    trex = box("trex", numbers(0, 1, 1, 1, 1, 0))
    file.at("moov").inside.append(box("mvex", b"", trex))
    head = box("tfhd", numbers(0, 1))
    file.inside.append(
        box("moof", b"", box("mfhd", numbers(0, 1)), box("traf", b"", head, box("trun", numbers(0, count))))
    )


def _cut(share: float, *ends: str) -> None:
    @kind(*ends, name=f"cut at {share:.0%}")
    def write(path: Path) -> None:
        path.write_bytes(clip()[: round(len(clip()) * share)])

    @kind("truncated", "not_video", OK, name=f"cut at {share:.0%} with the index first")
    def write_front(path: Path) -> None:
        data = clip(".mp4", "-movflags", "+faststart")
        path.write_bytes(data[: round(len(data) * share)])


for _share in (0.01, 0.1, 0.3, 0.6, 0.9, 0.99):
    _cut(_share, "truncated", "not_video")
