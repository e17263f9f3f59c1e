"""A file on its way in: piece by piece, looked at, and refused kindly."""

import errno
from pathlib import Path

import pytest
from django.http.request import UnreadablePostError

from portal.intake.receiving import PIECE, Refused, safe_name, take_in
from tests.films.numbered import write_clip

FILM = b"\0\0\0\x18ftypmp42" + bytes(range(256)) * 40


@pytest.fixture
def incoming(settings) -> Path:
    return Path(settings.MEDIA_ROOT) / "incoming"


def left(incoming: Path) -> list[str]:
    return [path.name for path in incoming.iterdir()] if incoming.exists() else []


def test_what_arrives_is_what_was_sent():
    arrived = take_in([FILM[:7], FILM[7:3000], FILM[3000:]], len(FILM))
    assert arrived.path.read_bytes() == FILM
    assert arrived.size == len(FILM)


@pytest.mark.parametrize(("codec", "suffix"), [("h264", ".mp4"), ("h264", ".mov"), ("vp9", ".webm")])
def test_real_films_of_every_kind_are_let_in(tmp_path, codec, suffix):
    path = tmp_path / f"film{suffix}"
    write_clip(path, frames=3, size=(64, 48), codec=codec)
    assert take_in([path.read_bytes()]).size == path.stat().st_size


@pytest.mark.parametrize(
    ("body", "code", "word"),
    [
        (b"", "empty", "empty"),
        (b"My swing thoughts: keep the head still.", "not_film", "no film that we can open"),
        (b"\xff\xd8\xff\xe0 a photo, renamed", "photo", "This is a photo"),
        (b"\0\0\0\x24ftypheic\0\0\0\0mif1heic", "photo", "This is a photo"),
        (b"\0\0\0", "not_film", "no film"),
    ],
)
def test_what_is_no_film_is_refused_and_leaves_nothing_behind(incoming, body, code, word):
    with pytest.raises(Refused) as refused:
        take_in([body] if body else [])
    assert refused.value.code == code
    assert word in refused.value.words
    assert left(incoming) == []


def test_a_film_over_the_cap_is_stopped_on_the_way(settings, incoming):
    settings.UPLOAD_MAX_BYTES = 3 * PIECE
    drawn = []

    def endless():
        while True:
            drawn.append(1)
            yield FILM[:12].ljust(PIECE, b"x")

    with pytest.raises(Refused) as refused:
        take_in(endless())
    assert refused.value.code == "too_large"
    assert len(drawn) == 4
    assert left(incoming) == []


def test_half_a_film_is_a_broken_line(incoming):
    with pytest.raises(Refused) as refused:
        take_in([FILM[:100]], len(FILM))
    assert refused.value.code == "broken_off"
    assert left(incoming) == []


@pytest.mark.parametrize(
    ("trouble", "code"),
    [
        (UnreadablePostError("gone"), "broken_off"),
        (ConnectionResetError(errno.ECONNRESET, "reset"), "broken_off"),
        (OSError(errno.ENOSPC, "No space left on device"), "disk_full"),
    ],
)
def test_trouble_on_the_way_is_told_and_leaves_nothing_behind(incoming, trouble, code):
    def pieces():
        yield FILM
        raise trouble

    with pytest.raises(Refused) as refused:
        take_in(pieces(), 2 * len(FILM))
    assert refused.value.code == code
    assert left(incoming) == []


def test_trouble_that_is_our_own_fault_is_not_hidden(incoming):
    def pieces():
        yield FILM
        raise OSError(errno.EIO, "Input/output error")

    with pytest.raises(OSError, match="Input/output"):
        take_in(pieces())
    assert left(incoming) == []


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("IMG_0142.MOV", "IMG_0142.MOV"),
        ("../../etc/passwd", "passwd"),
        ("C:\\Users\\ida\\swing 3.mp4", "swing 3.mp4"),
        ("Idas Schläge ⚾.mp4", "Idas Schläge ⚾.mp4"),
        ("a\0b\n\u202ec.mp4", "abc.mp4"),
        ("", "clip"),
        ("...", "clip"),
        ("x" * 400 + ".mp4", "x" * 100 + ".mp4"),
    ],
)
def test_names_are_kept_as_the_family_knows_them_and_no_more(name, safe):
    assert safe_name(name) == safe
