"""The server by the text of the tus resumable upload protocol 1.0.0 (core protocol and extensions), from memory of its
sections: Headers, HEAD, PATCH, OPTIONS, Creation, Creation With Upload, Expiration, Checksum, Termination.
"""

from __future__ import annotations

import hashlib
import io
from base64 import b64encode
from datetime import timedelta
from email.utils import parsedate_to_datetime
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from portal.intake import clips, consent, erase
from portal.intake.models import Clip, Submission, Upload
from portal.intake.states import State
from portal.intake.tus import parts, uploads
from portal.intake.tus.protocol import Fault, metadata_of

FILM = b"\0\0\0\x18ftypmp42" + bytes(range(256)) * 400
LENGTH = len(FILM)
OCTETS = "application/offset+octet-stream"
TUS = {"Tus-Resumable": "1.0.0"}


@pytest.fixture(autouse=True)
def queued(monkeypatch):
    sent = []
    monkeypatch.setattr("portal.measuring.queue.send", sent.append)
    return sent


@pytest.fixture
def family(sign_in, guardian):
    return sign_in(guardian)


@pytest.fixture
def begun(submission):
    return submission()


def create(client, submission, size=LENGTH, body=b"", **headers):
    headers = {**TUS, "Upload-Length": str(size), **headers}
    kind = OCTETS if body else "application/octet-stream"
    return client.post(reverse("upload_new", args=[submission.pk]), body, kind, headers=headers)


def patch(client, url, body, offset, kind=OCTETS, **headers):
    return client.patch(url, body, kind, headers={**TUS, "Upload-Offset": str(offset), **headers}, CONTENT_TYPE=kind)


def head(client, url, **headers):
    return client.head(url, headers={**TUS, **headers})


@pytest.fixture
def url(family, begun):
    return create(family, begun).headers["Location"]


def incoming(settings) -> list[Path]:
    return sorted((Path(settings.MEDIA_ROOT) / "incoming").iterdir())


class TestCore:
    def test_head_says_where_it_stands_and_is_kept_by_nobody(self, family, url):
        patch(family, url, FILM[:1000], 0)
        answer = head(family, url)
        assert answer.status_code == 200
        assert answer.headers["Upload-Offset"] == "1000"
        assert answer.headers["Upload-Length"] == str(len(FILM))
        assert answer.headers["Cache-Control"] == "no-store"
        assert answer.headers["Tus-Resumable"] == "1.0.0"

    def test_patch_adds_at_the_offset_and_says_the_new_one(self, family, url):
        answer = patch(family, url, FILM[:1000], 0)
        assert (answer.status_code, answer.content) == (204, b"")
        assert answer.headers["Upload-Offset"] == "1000"
        assert patch(family, url, FILM[1000:1500], 1000).headers["Upload-Offset"] == "1500"

    @pytest.mark.parametrize("offset", [0, 999, 1001, len(FILM)])
    def test_another_offset_is_a_conflict(self, family, url, offset):
        patch(family, url, FILM[:1000], 0)
        assert patch(family, url, b"x", offset).status_code == 409
        assert head(family, url).headers["Upload-Offset"] == "1000"

    @pytest.mark.parametrize("offset", ["", "-1", "1.0", "²", "x"])
    def test_an_offset_that_is_no_number_is_a_bad_request(self, family, url, offset):
        assert patch(family, url, b"x", offset).status_code == 400

    def test_another_kind_of_body_is_refused(self, family, url):
        assert patch(family, url, b"x", 0, kind="application/octet-stream").status_code == 415
        assert patch(family, url, b"x", 0, kind="multipart/form-data; boundary=x").status_code == 415

    def test_more_than_the_length_is_refused(self, family, url):
        assert patch(family, url, FILM + b"x", 0).status_code == 413

    @pytest.mark.parametrize("version", [None, "0.2.2", "1.0.1"])
    def test_another_version_is_told_ours_and_changes_nothing(self, family, begun, url, version):
        for method, address in (
            ("post", reverse("upload_new", args=[begun.pk])),
            ("patch", url),
            ("head", url),
            ("delete", url),
        ):
            headers = {"Tus-Resumable": version} if version else {}
            answer = getattr(family, method)(address, headers=headers)
            assert (answer.status_code, answer.headers["Tus-Version"]) == (412, "1.0.0")
        assert Upload.objects.count() == 1

    def test_options_tells_what_is_spoken(self, family, begun, url, settings):
        for address in (url, reverse("upload_new", args=[begun.pk])):
            answer = family.options(address)
            assert answer.status_code in (200, 204)
            assert answer.headers["Tus-Version"] == "1.0.0"
            assert answer.headers["Tus-Max-Size"] == str(settings.UPLOAD_MAX_BYTES)
            assert set(answer.headers["Tus-Extension"].split(",")) == {
                "creation", "creation-with-upload", "termination", "checksum", "expiration",
            }  # fmt: skip
            assert "sha1" in answer.headers["Tus-Checksum-Algorithm"].split(",")

    def test_a_method_may_be_told_in_a_header(self, family, url):
        headers = {**TUS, "Upload-Offset": "0", "X-HTTP-Method-Override": "PATCH"}
        answer = family.post(url, FILM[:100], OCTETS, headers=headers)
        assert (answer.status_code, answer.headers["Upload-Offset"]) == (204, "100")

    @pytest.mark.parametrize("method", ["head", "patch", "delete"])
    def test_what_is_not_there_has_no_offset(self, family, method):
        answer = getattr(family, method)(
            reverse("upload", args=[uuid4()]), headers={**TUS, "Upload-Offset": "0"}, content_type=OCTETS
        )
        assert answer.status_code == 404
        assert "Upload-Offset" not in answer.headers

    def test_other_methods_are_none(self, family, url):
        assert family.get(url, headers=TUS).status_code == 405
        assert family.put(url, headers=TUS).status_code == 405


class TestCreation:
    def test_it_has_a_place_and_no_byte(self, family, begun):
        answer = create(family, begun)
        assert answer.status_code == 201
        upload = Upload.objects.get()
        assert answer.headers["Location"] == reverse("upload", args=[upload.pk])
        assert head(family, answer.headers["Location"]).headers["Upload-Offset"] == "0"

    @pytest.mark.parametrize("length", ["", "-5", "1e3", "many"])
    def test_a_length_that_is_no_number_is_a_bad_request(self, family, begun, length):
        assert create(family, begun, size=length).status_code == 400
        assert not Upload.objects.exists()

    def test_a_length_for_later_is_not_offered(self, family, begun):
        address = reverse("upload_new", args=[begun.pk])
        assert family.post(address, b"", OCTETS, headers={**TUS, "Upload-Defer-Length": "1"}).status_code == 400
        assert family.post(address, b"", OCTETS, headers=TUS).status_code == 400

    def test_more_than_the_most_is_too_large(self, family, begun, settings):
        answer = create(family, begun, size=settings.UPLOAD_MAX_BYTES + 1)
        assert answer.status_code == 413
        assert answer.json()["code"] == "too_large"

    def test_metadata_come_back_as_they_were_sent(self, family, begun):
        told = f"filename {b64encode(b'swing one.mp4').decode()},mark {b64encode(b'abc').decode()},is_confidential"
        url = create(family, begun, **{"Upload-Metadata": told}).headers["Location"]
        assert head(family, url).headers["Upload-Metadata"] == told
        upload = Upload.objects.get()
        assert (upload.name, upload.mark) == ("swing one.mp4", "abc")

    @pytest.mark.parametrize("told", ["filename ???", "a YQ==,a YQ==", "x" * 5000])
    def test_metadata_that_can_not_be_read_are_a_bad_request(self, family, begun, told):
        assert create(family, begun, **{"Upload-Metadata": told}).status_code == 400

    def test_the_first_bytes_may_come_along(self, family, begun):
        answer = create(family, begun, body=FILM[:5000])
        assert (answer.status_code, answer.headers["Upload-Offset"]) == (201, "5000")
        assert patch(family, answer.headers["Location"], FILM[5000:], 5000).status_code == 204
        assert Clip.objects.get().original.read() == FILM

    def test_all_bytes_may_come_along(self, family, begun):
        answer = create(family, begun, body=FILM)
        assert (answer.status_code, answer.headers["Upload-Offset"]) == (201, str(len(FILM)))
        assert answer.headers["Content-Location"] == reverse("submission", args=[begun.pk])
        assert Clip.objects.get().original.read() == FILM

    def test_first_bytes_of_another_kind_are_refused_before_anything_is_made(self, family, begun):
        address = reverse("upload_new", args=[begun.pk])
        headers = {**TUS, "Upload-Length": "10"}
        assert family.post(address, b"0123456789", "video/mp4", headers=headers).status_code == 415
        assert not Upload.objects.exists()


class TestChecksum:
    def told(self, algorithm: str, body: bytes) -> str:
        return f"{algorithm} {b64encode(hashlib.new(algorithm, body).digest()).decode()}"

    @pytest.mark.parametrize("algorithm", ["sha1", "sha256", "md5"])
    def test_bytes_that_add_up_are_taken(self, family, url, algorithm):
        told = self.told(algorithm, FILM[:1000])
        assert patch(family, url, FILM[:1000], 0, **{"Upload-Checksum": told}).headers["Upload-Offset"] == "1000"

    def test_bytes_that_do_not_are_thrown_away(self, family, url, settings):
        patch(family, url, FILM[:1000], 0)
        answer = patch(family, url, FILM[1000:2000], 1000, **{"Upload-Checksum": self.told("sha1", b"other")})
        assert answer.status_code == 460
        assert head(family, url).headers["Upload-Offset"] == "1000"
        told = self.told("sha1", FILM[1000:])
        assert patch(family, url, FILM[1000:], 1000, **{"Upload-Checksum": told}).status_code == 204
        assert Clip.objects.get().original.read() == FILM

    def test_half_of_them_on_a_broken_line_are_thrown_away(self, family, url):
        body = {"wsgi.input": io.BytesIO(FILM[:500]), "CONTENT_LENGTH": "1000", "CONTENT_TYPE": OCTETS}
        headers = {**TUS, "Upload-Offset": "0", "Upload-Checksum": self.told("sha1", FILM[:1000])}
        assert family.patch(url, b"", OCTETS, headers=headers, **body).status_code == 460
        assert head(family, url).headers["Upload-Offset"] == "0"

    @pytest.mark.parametrize("told", ["crc32 AAAA", "sha1", "sha1 ???", ""])
    def test_a_checksum_that_can_not_be_read_is_a_bad_request(self, family, url, told):
        status = patch(family, url, FILM[:10], 0, **{"Upload-Checksum": told}).status_code
        assert status == (460 if told == "sha1" else 400)


class TestExpiration:
    def test_it_is_said_until_when_and_moves_on_with_each_byte(self, family, url):
        Upload.objects.update(expires_at=timezone.now() + timedelta(minutes=5))
        answer = patch(family, url, FILM[:10], 0)
        until = parsedate_to_datetime(answer.headers["Upload-Expires"])
        assert timedelta(days=2) < until - timezone.now() <= uploads.KEPT_FOR


class TestTermination:
    def test_it_is_gone_with_its_bytes(self, family, url, settings):
        patch(family, url, FILM[:1000], 0)
        assert family.delete(url, headers=TUS).status_code == 204
        assert head(family, url).status_code in (404, 410)
        assert patch(family, url, b"x", 1000).status_code in (404, 410)
        assert incoming(settings) == []

    def test_the_clip_that_came_of_it_stays(self, family, url):
        patch(family, url, FILM, 0)
        assert family.delete(url, headers=TUS).status_code == 204
        assert Clip.objects.get().original.read() == FILM


class TestTheClip:
    def test_the_last_byte_makes_it(self, family, begun, url, settings, queued, django_capture_on_commit_callbacks):
        with django_capture_on_commit_callbacks(execute=True):
            patch(family, url, FILM[:3000], 0)
            answer = patch(family, url, FILM[3000:], 3000)
        assert answer.headers["Content-Location"] == reverse("submission", args=[begun.pk])
        clip = Clip.objects.get()
        assert clip.original.read() == FILM
        assert clip.size == len(FILM)
        assert queued == [clip.pk]
        begun.refresh_from_db()
        assert begun.state == State.RECEIVED
        assert incoming(settings) == []

    def test_asked_again_it_is_the_same(self, family, url, begun):
        patch(family, url, FILM, 0)
        for _ in range(3):
            answer = head(family, url)
            assert answer.headers["Upload-Offset"] == str(len(FILM))
            assert answer.headers["Content-Location"] == reverse("submission", args=[begun.pk])
            assert patch(family, url, b"", len(FILM)).status_code == 204
        assert Clip.objects.count() == 1

    @pytest.mark.parametrize("at", ["before the hash", "before the row", "after the row"])
    def test_a_crash_between_the_last_byte_and_the_row_is_found_again(self, family, url, monkeypatch, at, begun):
        class Killed(BaseException):
            pass

        def die(*args, **kwargs):
            raise Killed

        with monkeypatch.context() as crash:
            if at == "before the hash":
                crash.setattr(uploads, "finish", die)
            elif at == "before the row":
                crash.setattr(clips, "_enter", die)
                crash.setattr(clips, "_may_be_there", die)
            else:
                honest = clips.keep
                crash.setattr(clips, "keep", lambda *a, **k: (honest(*a, **k), die()))
            with pytest.raises(Killed):
                patch(family, url, FILM, 0)
        assert default_storage.exists(f"originals/{Upload.objects.get().pk}") is (at != "before the hash")
        erase.erase_leftovers(timezone.now() + timedelta(days=1))
        assert head(family, url).headers["Upload-Offset"] == str(len(FILM))
        assert Clip.objects.get().original.read() == FILM
        assert Clip.objects.get().submission == begun

    def test_a_crash_is_found_by_the_sweep_when_nobody_asks(self, family, url, monkeypatch):
        with monkeypatch.context() as crash:
            crash.setattr(uploads, "finish", lambda upload: (_ for _ in ()).throw(SystemExit))
            with pytest.raises(SystemExit):
                patch(family, url, FILM, 0)
        assert uploads.finish_whole() == 0, "somebody may be at it just now"
        assert uploads.finish_whole(timezone.now() + timedelta(minutes=3)) == 1
        assert Clip.objects.get().original.read() == FILM

    def test_a_database_that_fails_in_this_moment_loses_no_byte(self, family, url, monkeypatch):
        from django.db import OperationalError

        def locked(*args):
            raise OperationalError("database is locked")

        with monkeypatch.context() as trouble:
            trouble.setattr(clips, "_enter", locked)
            with pytest.raises(OperationalError):
                patch(family, url, FILM, 0)
        assert head(family, url).headers["Upload-Offset"] == str(len(FILM))
        assert Clip.objects.get().original.read() == FILM

    def test_the_same_film_sent_before_is_recognised(self, family, begun, settings):
        first = create(family, begun, body=FILM)
        second = create(family, begun, body=FILM)
        assert first.headers["Content-Location"] == second.headers["Content-Location"]
        assert Clip.objects.count() == 1
        assert incoming(settings) == []
        assert len(default_storage.listdir("originals")[1]) == 1

    def test_two_requests_for_the_same_bytes_never_mix(self, family, url):
        """The one whose line hung comes back to life when the other is already further."""
        upload = Upload.objects.get()

        def hanging():
            yield FILM[:1000]
            assert uploads.take(upload, 1000, [FILM[1000:5000]]) == 5000
            yield b"\xff" * 500

        with pytest.raises(Fault, match="Another request"):
            uploads.take(upload, 0, hanging())
        assert patch(family, url, FILM[5000:], 5000).status_code == 204
        assert Clip.objects.get().original.read() == FILM

    def test_half_of_a_broken_request_is_kept(self, family, url):
        body = {"wsgi.input": io.BytesIO(FILM[:700]), "CONTENT_LENGTH": str(len(FILM)), "CONTENT_TYPE": OCTETS}
        answer = family.patch(url, b"", OCTETS, headers={**TUS, "Upload-Offset": "0"}, **body)
        assert answer.headers["Upload-Offset"] == "700"
        assert head(family, url).headers["Upload-Offset"] == "700"


class TestRefusals:
    @pytest.mark.parametrize(
        ("body", "code"), [(b"\x89PNG\r\n\x1a\n" + b"0" * 5000, "photo"), (b"no film at all " * 400, "not_film")]
    )
    def test_by_the_first_bytes_and_nothing_stays(self, family, begun, body, code, settings):
        url = create(family, begun, size=len(body)).headers["Location"]
        answer = patch(family, url, body[:100], 0)
        assert (answer.status_code, answer.json()["code"]) == (415, code)
        assert incoming(settings) == []
        assert not Upload.objects.exists()

    def test_a_tiny_file_that_is_no_film_is_refused_at_its_end(self, family, begun):
        url = create(family, begun, size=5).headers["Location"]
        assert patch(family, url, b"hello", 0).status_code == 415

    def test_an_empty_one(self, family, begun):
        answer = create(family, begun, size=0)
        assert (answer.status_code, answer.json()["code"]) == (400, "empty")

    @pytest.mark.parametrize("state", [State.IN_REVIEW, State.PUBLISHED, State.WITHDRAWN])
    def test_one_that_is_with_the_coach_takes_none(self, family, submission, state):
        answer = create(family, submission(state))
        assert (answer.status_code, answer.json()["code"]) == (409, "closed")

    def test_without_consent_nothing_is_begun(self, family, begun):
        begun.player.consents.update(taken_back_at=timezone.now())
        answer = create(family, begun)
        assert (answer.status_code, answer.json()["code"]) == (409, "no_consent")

    def test_a_coach_who_takes_it_up_on_the_way_wins(self, family, begun, url, settings):
        Submission.objects.filter(pk=begun.pk).update(state=State.IN_REVIEW)
        answer = patch(family, url, FILM, 0)
        assert (answer.status_code, answer.json()["code"]) == (409, "closed")
        assert not Clip.objects.exists()
        assert incoming(settings) == []
        assert default_storage.listdir("originals")[1] == []

    def test_withdrawing_takes_it_along(self, family, begun, url, settings, django_capture_on_commit_callbacks):
        patch(family, url, FILM[:1000], 0)
        with django_capture_on_commit_callbacks(execute=True):
            erase.withdraw(begun)
        assert head(family, url).status_code == 404
        assert incoming(settings) == []

    def test_consent_taken_back_takes_it_along(self, family, begun, url, settings, django_capture_on_commit_callbacks):
        patch(family, url, FILM[:1000], 0)
        with django_capture_on_commit_callbacks(execute=True):
            consent.take_back(begun.player.consents.get())
        assert not Upload.objects.exists()
        assert incoming(settings) == []

    def test_a_sixth_begun_takes_the_place_of_the_oldest(self, family, begun):
        urls = [create(family, begun).headers["Location"] for _ in range(uploads.MOST_OPEN + 1)]
        assert [head(family, url).status_code for url in urls] == [404, *[200] * uploads.MOST_OPEN]


class TestAccess:
    @pytest.mark.parametrize("persona", ["coach", "owner", "other_guardian", "other_coach"])
    def test_it_is_the_familys_alone(self, persona, request, sign_in, begun, url):
        client = sign_in(request.getfixturevalue(persona))
        assert create(client, begun).status_code == 404
        for answer in (head(client, url), patch(client, url, b"x", 0), client.delete(url, headers=TUS)):
            assert answer.status_code == 404
        assert parts.length(Upload.objects.get().pk) is None

    def test_without_the_pages_token_nothing_is_taken(self, guardian, begun):
        client = Client(enforce_csrf_checks=True)
        client.force_login(guardian, backend="allauth.account.auth_backends.AuthenticationBackend")
        assert create(client, begun).status_code == 403
        client.get(reverse("submission_clip", args=[begun.pk]))
        token = {"X-CSRFToken": client.cookies["csrftoken"].value}
        url = create(client, begun, **token).headers["Location"]
        assert patch(client, url, FILM[:10], 0).status_code == 403
        assert patch(client, url, FILM[:10], 0, **token).status_code == 204
        assert client.delete(url, headers=TUS).status_code == 403


def test_metadata_are_pairs_of_a_key_and_base64():
    assert metadata_of("") == {}
    assert metadata_of("a YQ==, b") == {"a": "a", "b": ""}
