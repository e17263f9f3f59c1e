"""The very same clip, told by its bytes."""

from __future__ import annotations

import hashlib

import pytest

from portal.intake import receiving, same
from portal.intake.receiving import Arrived
from tests.portal.conftest import make_clip

pytestmark = pytest.mark.django_db
FILM = b"\0\0\0\x18ftypmp42" + b"\7" * (2 * receiving.PIECE)


@pytest.fixture
def arrived():
    path = receiving.new_file()
    path.write_bytes(FILM)
    return Arrived(path, len(FILM))


@pytest.fixture
def kept(submission):
    """kept(body): a clip of the player with these bytes; its hash is not known yet."""
    sent = submission()

    def keep(body):
        clip = make_clip(sent)
        with clip.original.storage.open(clip.original.name, "wb") as file:
            file.write(body)
        type(clip).objects.filter(pk=clip.pk).update(sha256="", size=len(body))
        return clip

    return keep


def find(clip, arrived, looked_at):
    return same.find(clip.submission, arrived, looked_at)


def test_one_with_the_same_bytes_is_the_same(kept, arrived):
    clip = kept(FILM)
    assert find(clip, arrived, set()) == clip


@pytest.mark.parametrize("body", [b"x" + FILM[1:], FILM[:-1] + b"x"])
def test_one_that_differs_in_one_byte_is_another(kept, arrived, body):
    clip, looked_at = kept(body), set()
    assert find(clip, arrived, looked_at) is None
    assert looked_at == {clip.pk}


def test_one_of_another_size_is_not_even_read(kept, arrived, monkeypatch):
    clip = kept(FILM + b"x")
    monkeypatch.setattr(Arrived, "open", lambda self: pytest.fail("read"))
    assert find(clip, arrived, set()) is None


@pytest.mark.parametrize(("known", "is_same"), [(FILM, True), (b"other", False)])
def test_where_the_old_film_is_gone_its_hash_decides(kept, arrived, known, is_same):
    clip = kept(FILM)
    clip.original.storage.delete(clip.original.name)
    type(clip).objects.filter(pk=clip.pk).update(sha256=hashlib.sha256(known).hexdigest())
    assert (find(clip, arrived, set()) == clip) is is_same
