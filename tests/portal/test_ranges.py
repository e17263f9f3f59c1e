"""One range of bytes, against RFC 9110 section 14 (its own examples are for a file of 10,000 bytes: 14.1.2)."""

import pytest

from portal.ranges import ByteRange, Unsatisfiable, parse_range

SIZE = 10_000


@pytest.mark.parametrize(
    ("header", "first", "last"),
    [
        ("bytes=0-499", 0, 499),  # RFC 9110, 14.1.2: the first 500 bytes
        ("bytes=500-999", 500, 999),  # the second 500 bytes
        ("bytes=-500", 9500, 9999),  # the final 500 bytes
        ("bytes=9500-", 9500, 9999),  # the same
        ("bytes=0-0", 0, 0),  # the first byte
        ("bytes=-1", 9999, 9999),  # the last
        ("bytes=0-1", 0, 1),  # what Safari asks first
        ("bytes=9999-20000", 9999, 9999),  # an end beyond the end is cut
        ("bytes=-20000", 0, 9999),  # a suffix longer than the file is the file
        ("BYTES=0-499", 0, 499),  # units know no case
    ],
)
def test_a_range_names_its_first_and_last_byte(header, first, last):
    assert parse_range(header, SIZE) == ByteRange(first, last, SIZE)


@pytest.mark.parametrize(
    "header",
    [
        "",
        "bytes",
        "bytes=",
        "bytes=-",
        "bytes=a-b",
        "bytes=5-4",
        "lines=0-1",
        "bytes=0-1,5-6",
        "bytes=--5",
        "bytes=٣-٤",
    ],
)
def test_what_is_no_single_range_of_bytes_is_ignored(header):
    assert parse_range(header, SIZE) is None


@pytest.mark.parametrize("header", ["bytes=10000-", "bytes=10000-10001", "bytes=-0"])
def test_a_range_without_a_byte_is_refused(header):
    with pytest.raises(Unsatisfiable):
        parse_range(header, SIZE)


@pytest.mark.parametrize("header", ["bytes=0-", "bytes=-5"])
def test_an_empty_file_has_no_range(header):
    with pytest.raises(Unsatisfiable):
        parse_range(header, 0)


def test_the_header_of_the_answer_counts_like_the_question():
    part = parse_range("bytes=0-499", SIZE)
    assert part is not None
    assert (part.length, part.header) == (500, "bytes 0-499/10000")
