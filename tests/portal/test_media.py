"""Media in ranges: what a browser asks is what it gets (RFC 9110 sections 13 and 14)."""

import os
import re
from io import BytesIO

import pytest
from django.core.files.base import ContentFile, File
from django.core.files.storage import default_storage
from django.core.files.storage.memory import InMemoryStorage
from django.http import Http404
from django.test import RequestFactory

from portal import media

BODY = bytes(range(256)) * 4000  # longer than one piece
NAME = "clips/one/review.mp4"


@pytest.fixture(autouse=True)
def stored():
    default_storage.save(NAME, ContentFile(BODY))


def ask(method="get", **headers):
    request = getattr(RequestFactory(), method)("/x", headers=headers)
    return media.serve(request, NAME, "video/mp4")


def body(response):
    return b"".join(response)


def test_the_whole_file_comes_without_a_range():
    response = ask()
    assert (response.status_code, response["Content-Length"]) == (200, str(len(BODY)))
    assert (response["Content-Type"], response["Accept-Ranges"]) == ("video/mp4", "bytes")
    assert body(response) == BODY


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ("bytes=0-1", BODY[:2]),
        ("bytes=300000-700000", BODY[300000:700001]),
        ("bytes=-7", BODY[-7:]),
        ("bytes=1023990-", BODY[1023990:]),
    ],
)
def test_a_range_comes_exactly(asked, expected):
    response = ask(Range=asked)
    assert response.status_code == 206
    assert body(response) == expected
    first, last, size = map(int, re.fullmatch(r"bytes (\d+)-(\d+)/(\d+)", response["Content-Range"]).groups())
    assert (last - first + 1, size, response["Content-Length"]) == (len(expected), len(BODY), str(len(expected)))


def test_a_range_outside_the_file_is_416_and_tells_the_size():
    response = ask(Range="bytes=1024000-")
    assert (response.status_code, response["Content-Range"]) == (416, "bytes */1024000")
    assert "Content-Disposition" not in response


def test_several_ranges_are_answered_with_the_whole():
    response = ask(Range="bytes=0-1,10-11")
    assert (response.status_code, body(response)) == (200, BODY)


def test_head_sends_the_length_and_no_body():
    response = ask("head", Range="bytes=0-1")  # Range is defined for GET alone: RFC 9110, 14.2
    assert (response.status_code, response["Content-Length"], response.content) == (200, str(len(BODY)), b"")


def test_a_file_already_known_is_not_sent_again():
    etag = ask()["ETag"]
    assert not etag.startswith("W/")
    for known in (etag, f'"other", {etag}', f"W/{etag}", "*"):
        response = ask(**{"If-None-Match": known, "Range": "bytes=0-1"})
        assert (response.status_code, response["ETag"], response.content) == (304, etag, b"")
    assert ask(**{"If-None-Match": '"other"'}).status_code == 200


def test_if_range_holds_only_for_the_same_file():
    whole = ask()
    for condition in (whole["ETag"], whole["Last-Modified"]):
        assert ask(**{"If-Range": condition, "Range": "bytes=0-1"}).status_code == 206
    for condition in ('"other"', f"W/{whole['ETag']}", "Wed, 21 Oct 2015 07:28:00 GMT"):
        assert ask(**{"If-Range": condition, "Range": "bytes=0-1"}).status_code == 200


def test_a_replaced_file_has_another_etag():
    before = ask()["ETag"]
    path = default_storage.path(NAME)
    os.utime(path, (1_000_000_000, 1_000_000_000))
    assert ask()["ETag"] != before


def test_nothing_of_it_is_shared_or_indexed():
    for response in (ask(), ask(Range="bytes=0-1"), ask(Range="bytes=9999999-")):
        assert response["Cache-Control"] == "private, no-store"
        assert response["Referrer-Policy"] == "no-referrer"
        assert "noindex" in response["X-Robots-Tag"]
        assert "Cookie" in response["Vary"]


def test_a_download_has_its_name():
    request = RequestFactory().get("/x")
    assert media.serve(request, NAME, "application/pdf")["Content-Disposition"] == "inline"
    named = media.serve(request, NAME, "application/pdf", download_name="Ida's swing.pdf")
    assert named["Content-Disposition"] == 'attachment; filename="Ida\'s swing.pdf"'


@pytest.mark.parametrize("accel", [False, True])
def test_a_file_that_is_not_there_is_404(settings, accel):
    settings.MEDIA_ACCEL = accel
    with pytest.raises(Http404):
        media.serve(RequestFactory().get("/x"), "clips/one/nothing.mp4", "video/mp4")


def test_the_front_sends_the_bytes_when_it_can(settings):
    settings.MEDIA_ACCEL = True
    response = ask(Range="bytes=0-1")
    assert (response.status_code, response.content) == (200, b"")
    assert response["X-Accel-Redirect"] == "/sealed-media/clips/one/review.mp4"
    assert (response["Content-Type"], response["Cache-Control"]) == ("video/mp4", "private, no-store")
    assert "Content-Length" not in response


def test_an_object_store_is_read_through_the_storage(settings, monkeypatch):
    """A storage without paths: MEDIA_ACCEL must not send the front to a file that is elsewhere."""
    settings.MEDIA_ACCEL = True
    store = InMemoryStorage()
    store.save(NAME, ContentFile(BODY))
    monkeypatch.setattr(media, "default_storage", store)
    response = ask(Range="bytes=5-9")
    assert (response.status_code, body(response)) == (206, BODY[5:10])


@pytest.mark.django_db  # the end of an answer looks after database connections that other tests left open
def test_the_file_is_closed_when_the_reader_leaves(monkeypatch):
    opened = []

    class Watched(InMemoryStorage):
        def _open(self, name, mode="rb"):
            opened.append(BytesIO(BODY))
            return File(opened[-1])

    store = Watched()
    store.save(NAME, ContentFile(BODY))
    monkeypatch.setattr(media, "default_storage", store)
    ask().close()
    assert opened[-1].closed
