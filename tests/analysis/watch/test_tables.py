"""An index is checked before a decoder makes room for it: by hand-made boxes and elements, without a film."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.watch import boxes, ebml, tables
from analysis.watch.caps import MAX_FRAMES
from analysis.watch.errors import ClipError
from tests.films.zoo.broken_matroska import ATTACHMENTS, ENTRY, SEGMENT, TRACKS, Element
from tests.films.zoo.mp4 import Box, box, numbers

HANDLER = box("hdlr", numbers(0, 0) + b"vide" + bytes(13))


def film(*tables_: Box, handler: Box = HANDLER, dref: bytes | None = None) -> bytes:
    """An MP4 of one track with these tables and a few bytes of pictures."""
    references = [] if dref is None else [box("dinf", b"", box("dref", dref))]
    media = box("mdia", b"", handler, box("minf", b"", *references, box("stbl", b"", *tables_)))
    parts = (box("ftyp", b"isom\0\0\0\0"), box("moov", b"", box("trak", b"", media)), box("mdat", bytes(5000)))
    return b"".join(part.bytes() for part in parts)


def refusal(tmp_path: Path, data: bytes) -> str:
    path = tmp_path / "film.mp4"
    path.write_bytes(data)
    with pytest.raises(ClipError) as caught:
        tables.check(path)
    return caught.value.code


def accept(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "film.mp4"
    path.write_bytes(data)
    tables.check(path)


def test_tables_that_fit_are_accepted(tmp_path: Path) -> None:
    fitting = [
        box("stts", numbers(0, 1, 20, 512)),
        box("stsz", numbers(0, 0, 20, *[100] * 20)),
        box("stsc", numbers(0, 1, 1, 20, 1)),
        box("stco", numbers(0, 1, 48)),
        box("stss", numbers(0, 1, 1)),
    ]
    accept(tmp_path, film(*fitting))


@pytest.mark.parametrize("table", ["stts", "ctts", "stsc", "stco", "co64", "stss", "stps"])
def test_a_table_with_more_entries_than_its_box_holds_is_refused(tmp_path: Path, table: str) -> None:
    one_entry = numbers(1, 1, 1)
    assert refusal(tmp_path, film(box(table, numbers(0, 4) + one_entry))) == "broken_index"


@pytest.mark.parametrize("sizes", [(0, 0, 2, 9), (0, 1, 0xFFFFFFFF), (0, 5000, 0x05000000)])
def test_sizes_of_more_samples_than_the_file_holds_are_refused(tmp_path: Path, sizes: tuple[int, ...]) -> None:
    assert refusal(tmp_path, film(box("stsz", numbers(*sizes)))) == "broken_index"


def test_more_pictures_than_any_clip_has_are_too_many(tmp_path: Path) -> None:
    many = film(box("stsz", numbers(0, 1, MAX_FRAMES + 1))) + box("free", bytes(MAX_FRAMES)).bytes()
    assert refusal(tmp_path, many) == "too_long"


def test_minutes_of_uncompressed_sound_are_accepted_and_hours_are_not(tmp_path: Path) -> None:
    sound = box("hdlr", numbers(0, 0) + b"soun" + bytes(13))
    one_tick = [box("stts", numbers(0, 1, 5_000_000, 1)), box("stsz", numbers(0, 2, 5_000_000))]
    lead_in = box("edts", b"", box("elst", numbers(0, 1, 100, 0, 1 << 16)))
    accept(tmp_path, film(lead_in, *one_tick, handler=sound))
    longer = [box("stts", numbers(0, 1, 5_000_000, 2)), box("stsz", numbers(0, 2, 5_000_000))]
    assert refusal(tmp_path, film(*longer, handler=sound)) == "broken_index"


def test_a_long_film_of_many_edits_is_refused(tmp_path: Path) -> None:
    edits = box("elst", numbers(0, 100, *[100, 0, 1 << 16] * 100))
    assert refusal(tmp_path, film(edits, box("stsz", numbers(0, 1, 3000)))) == "broken_index"
    accept(tmp_path, film(edits, box("stsz", numbers(0, 1, 300))))


def test_chunks_that_would_hold_billions_of_samples_are_refused(tmp_path: Path) -> None:
    chunks = [box("stsc", numbers(0, 1, 1, 0x7FFFFFFF, 1)), box("stco", numbers(0, 2, 48, 48))]
    assert refusal(tmp_path, film(*chunks)) == "broken_index"


def test_a_fragment_with_more_samples_than_any_clip_is_refused(tmp_path: Path) -> None:
    run = box("traf", b"", box("tfhd", numbers(0, 1)), box("trun", numbers(0, 0xFFFFFFFF)))
    assert refusal(tmp_path, film() + box("moof", b"", run).bytes()) == "broken_index"


def test_an_index_that_runs_beyond_the_end_is_cut_off(tmp_path: Path) -> None:
    data = film(box("stsz", numbers(0, 0, 20, *[100] * 20)))
    assert refusal(tmp_path, data[:100]) == "truncated"


def test_pictures_that_run_beyond_the_end_are_left_to_the_decoder(tmp_path: Path) -> None:
    accept(tmp_path, film(box("stsz", numbers(0, 0, 20, *[100] * 20)))[:-3000])


def test_pictures_in_another_file_are_refused(tmp_path: Path) -> None:
    there = box("url ", numbers(0) + b"file:///etc/hostname\0").bytes()
    here = box("url ", numbers(1)).bytes()
    assert refusal(tmp_path, film(dref=numbers(0, 1) + there)) == "elsewhere"
    accept(tmp_path, film(dref=numbers(0, 1) + here))


def test_boxes_in_boxes_end_somewhere(tmp_path: Path) -> None:
    inner = box("udta").bytes()
    for _ in range(5000):
        inner = Box(b"udta", inner).bytes()
    assert refusal(tmp_path, inner) == "broken_index"


def test_a_whole_file_goes_to_its_end(tmp_path: Path) -> None:
    path = tmp_path / "film.mp4"
    path.write_bytes(film())
    assert boxes.goes_to_the_end(path)
    path.write_bytes(film()[:-1])
    assert not boxes.goes_to_the_end(path)


def matroska(*inside: Element) -> bytes:
    return Element(0x1A45DFA3).bytes() + Element(SEGMENT, b"", list(inside)).bytes()


def matroska_refusal(tmp_path: Path, data: bytes) -> str:
    path = tmp_path / "film.mkv"
    path.write_bytes(data)
    with pytest.raises(ClipError) as caught:
        ebml.check(path)
    return caught.value.code


def test_a_matroska_of_two_tracks_is_accepted(tmp_path: Path) -> None:
    path = tmp_path / "film.mkv"
    path.write_bytes(matroska(Element(TRACKS, b"", [Element(ENTRY, bytes(10))] * 2)))
    ebml.check(path)


def test_a_matroska_of_many_tracks_is_refused(tmp_path: Path) -> None:
    many = matroska(Element(TRACKS, b"", [Element(ENTRY, bytes(10))] * 17))
    assert matroska_refusal(tmp_path, many) == "too_large"


def test_a_matroska_that_carries_much_beside_its_film_is_refused(tmp_path: Path) -> None:
    claims = Element(ATTACHMENTS, bytes(100), size=(1 << 56 | 40_000_000).to_bytes(8, "big"))
    assert matroska_refusal(tmp_path, matroska(claims)) == "broken_index"


@pytest.mark.parametrize("data", [b"", b"\x1a\x45\xdf\xa3", b"\x1a\x45\xdf\xa3\x00", bytes(50), b"\xff" * 50])
def test_what_is_no_matroska_is_left_to_the_demuxer(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "film.mkv"
    path.write_bytes(data)
    ebml.check(path)
