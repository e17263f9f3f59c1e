"""Pieces that are put at the end of their upload while they come in."""

from __future__ import annotations

import fcntl

import pytest
from django.conf import settings as site
from django.test import RequestFactory
from django.urls import reverse

from portal.intake.models import Clip, Upload
from portal.intake.tus import parts, uploads
from portal.intake.tus.straight import Straight
from portal.web import leave
from portal.web.straight import TAKER

pytestmark = pytest.mark.django_db
TUS = {"Tus-Resumable": "1.0.0"}
FILM = b"\0\0\0\x18ftypmp42" + b"\7" * 5_000_000
TOKEN = "a" * 32
OCTETS = "application/offset+octet-stream"


@pytest.fixture
def upload(submission, guardian):
    return Upload.objects.create(
        submission=submission(), begun_by=guardian, size=len(FILM), name="swing.mp4", expires_at="2099-01-01T00:00Z"
    )


@pytest.fixture
def straight(upload):
    taker = Straight(upload.pk, 0)
    yield taker
    taker.close()


@pytest.fixture
def patch(sign_in, guardian, upload):
    """The view's answer to a piece that went straight."""
    family = sign_in(guardian)

    def ask(taker):
        headers = {**TUS, "Upload-Offset": str(taker.at)}
        about = {TAKER: taker, "CONTENT_LENGTH": str(len(taker)), "CONTENT_TYPE": OCTETS}
        url = reverse("upload", args=[upload.pk])
        return family.patch(url, b"", headers=headers, **about)

    return ask


def lies(upload):
    return parts.path_of(upload.pk).read_bytes()


def test_what_comes_lies_in_the_upload_at_once(upload, straight):
    straight.append(FILM[:100_000])
    straight.append(FILM[100_000:300_000])
    assert lies(upload) == FILM[:300_000]
    assert (len(straight), straight.end) == (300_000, 300_000)


def test_the_last_piece_makes_the_clip(upload, patch):
    for at, end in ((0, 3_000_000), (3_000_000, len(FILM))):
        taker = uploads.straight(upload, at, end - at)
        taker.append(FILM[at:end])
        answer = patch(taker)
        taker.close()
        assert (answer.status_code, answer.headers["Upload-Offset"]) == (204, str(end))
    assert Clip.objects.get().original.read() == FILM


def test_of_two_at_the_same_end_the_slower_stops_and_mixes_nothing_in(upload, straight, patch):
    straight.append(FILM[:1000])
    parts.append(upload.pk, 1000, FILM[1000:5000])
    straight.append(b"late" * 1000)
    assert lies(upload) == FILM[:5000]
    assert patch(straight).status_code == 409
    assert len(straight) == 5000, "what is thrown away was read from the line all the same"


def test_a_lock_that_somebody_keeps_is_waited_for_by_nobody(upload, straight):
    straight.append(FILM[:1000])
    with parts.path_of(upload.pk).open("rb") as other:
        fcntl.flock(other, fcntl.LOCK_EX)
        straight.append(FILM[1000:2000])
    assert (straight.has_moved, lies(upload)) == (True, FILM[:1000])


def test_an_upload_that_was_stopped_meanwhile_takes_nothing(upload, straight):
    straight.append(FILM[:1000])
    uploads.end(upload)
    straight.append(FILM[1000:2000])
    assert straight.has_moved
    assert parts.length(upload.pk) is None


def test_what_is_no_film_is_not_written_on_and_is_refused(upload, straight, patch):
    straight.append(b"\x89PNG\r\n\x1a\n".ljust(1000, b"x"))
    straight.append(bytes(100_000))
    assert len(lies(upload)) == 1000
    assert patch(straight).status_code == 415
    assert not Upload.objects.exists()
    assert parts.length(upload.pk) is None


def test_a_broken_line_loses_nothing_of_what_came(upload, straight, patch):
    straight.append(FILM[:2000])
    answer = patch(straight)
    assert (answer.status_code, answer.headers["Upload-Offset"]) == (204, "2000")


class TestLeave:
    @pytest.fixture
    def ask(self, upload, guardian, sign_in):
        """What the portal says to the header of a piece."""

        def asked(person=guardian, method="PATCH", kind=OCTETS, **headers):
            client = sign_in(person)
            cookies = f"{site.SESSION_COOKIE_NAME}={client.cookies[site.SESSION_COOKIE_NAME].value}; csrftoken={TOKEN}"
            said = {"X-CSRFToken": TOKEN, **TUS, "Upload-Offset": "0", "Cookie": cookies, **headers}
            url = reverse("upload", args=[upload.pk])
            request = RequestFactory().generic(
                method, url, headers={name: value for name, value in said.items() if value is not None},
                CONTENT_LENGTH="4000000", CONTENT_TYPE=kind,
            )  # fmt: skip
            answer = leave.may_send(request.environ)
            if isinstance(answer, Straight):
                answer.close()
            return answer

        return asked

    def test_a_piece_where_the_upload_ends_goes_straight(self, ask, upload):
        taker = ask()
        assert isinstance(taker, Straight)
        assert (taker.key, taker.at) == (upload.pk, 0)

    @pytest.mark.parametrize(
        "headers",
        [
            {"Upload-Offset": "10"},
            {"Upload-Offset": "x"},
            {"Tus-Resumable": "0.9"},
            {"Upload-Checksum": "sha1 YQ=="},
            {"X-CSRFToken": None},
            {"X-CSRFToken": "b" * 32},
            {"kind": "text/plain"},
            {"method": "PUT"},
        ],
    )
    def test_anything_odd_goes_the_usual_way(self, ask, upload, headers):
        assert ask(**headers) is True
        assert parts.length(upload.pk) is None

    def test_so_does_more_than_was_announced(self, ask, upload):
        Upload.objects.update(size=3_000_000)
        assert ask() is True

    def test_so_does_what_another_family_sends(self, ask, upload, other_guardian):
        assert ask(other_guardian) is True
        assert parts.length(upload.pk) is None
