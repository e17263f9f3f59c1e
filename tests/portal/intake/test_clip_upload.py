"""Sending a clip: one file, streamed, kept once, handed on to be measured."""

from pathlib import Path
from uuid import uuid4

import pytest
from django.core import mail
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpRequest
from django.test import Client
from django.urls import reverse

from portal.intake import clips, consent, same
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.models import Stage
from tests.portal.conftest import make_clip, make_submission

FILM = b"\0\0\0\x18ftypmp42" + b"\7" * 600_000


@pytest.fixture(autouse=True)
def queued(monkeypatch):
    """The clips that were put into the workers' queue."""
    sent = []
    monkeypatch.setattr("portal.measuring.queue.send", sent.append)
    return sent


def url_of(submission):
    return reverse("clip_upload", args=[submission.pk])


def put(client, submission, body=FILM, name="swing.mp4", **headers):
    return client.post(url_of(submission), {"clip": SimpleUploadedFile(name, body)}, headers=headers)


@pytest.fixture
def begun(submission):
    return submission()


@pytest.fixture
def family(sign_in, guardian):
    return sign_in(guardian)


def test_a_clip_is_kept_promised_and_handed_on(family, begun, queued, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        answer = put(family, begun)
    assert (answer.status_code, answer.url) == (302, reverse("submission", args=[begun.pk]))
    clip = Clip.objects.get()
    assert clip.original.read() == FILM
    assert (clip.name, clip.size, clip.original.name) == ("swing.mp4", len(FILM), f"originals/{clip.pk}")
    begun.refresh_from_db()
    assert begun.state == State.RECEIVED
    assert (begun.promised_by - begun.received_at.date()).days in (7, 8)  # a night may lie between in local time
    assert clip.measurement.stage == Stage.WAITING
    assert queued == [clip.pk]


def test_everybody_of_the_family_gets_a_receipt(family, begun, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        put(family, begun)
    assert sorted(email.to[0] for email in mail.outbox) == ["ida@example.org", "lea@example.org"]
    assert mail.outbox[0].subject == "The clip has arrived"
    assert f"http://localhost:8000/submissions/{begun.pk}/" in mail.outbox[0].body


def test_the_body_is_never_held_in_memory_whole(family, begun, monkeypatch):
    def refuse(self):
        raise AssertionError("request.body was read")

    monkeypatch.setattr(HttpRequest, "body", property(refuse))
    assert put(family, begun).status_code == 302


def test_nothing_stays_in_the_incoming_folder(family, begun, settings):
    put(family, begun)
    assert list((Path(settings.MEDIA_ROOT) / "incoming").iterdir()) == []


def test_the_same_file_is_kept_once(family, begun):
    first = put(family, begun)
    second = put(family, begun, name="copy of swing.mp4")
    assert (second.status_code, second.url) == (302, first.url)
    assert "We have this very clip already" in family.get(second.url).text
    assert Clip.objects.count() == 1
    assert default_storage.listdir("originals")[1] == [str(Clip.objects.get().pk)]


def test_the_same_file_in_a_later_submission_leads_to_the_first(family, begun, player, camp):
    put(family, begun)
    Submission.objects.filter(pk=begun.pk).update(state=State.PUBLISHED)
    later = make_submission(player, camp)
    assert put(family, later).url == reverse("submission", args=[begun.pk])
    assert not later.clips.exists()


def test_the_same_file_on_two_lines_at_once_is_kept_once(family, begun, monkeypatch):
    put(family, begun)
    honest, looks = same.find, []

    def too_early(*of):  # the second line looked before the first one had entered its clip
        looks.append(of)
        return None if len(looks) == 1 else honest(*of)

    monkeypatch.setattr(same, "find", too_early)
    answer = put(family, begun)
    assert len(looks) == 2
    assert "We have this very clip already" in family.get(answer.url).text
    assert Clip.objects.count() == 1
    assert len(default_storage.listdir("originals")[1]) == 1


@pytest.mark.parametrize(
    ("body", "status", "words"),
    [
        (b"", 400, "empty"),
        (b"not a film at all, sorry", 415, "no film that we can open"),
        (b"\x89PNG\r\n\x1a\n0000", 415, "photo"),
    ],
)
def test_what_is_no_film_is_refused_in_kind_words(family, begun, body, status, words):
    answer = put(family, begun, body)
    assert answer.status_code == status
    assert words in answer.text
    begun.refresh_from_db()
    assert begun.state == State.UPLOADING


def test_an_announced_giant_is_refused_before_it_travels(family, begun, settings):
    settings.UPLOAD_MAX_BYTES = 1024 * 1024
    answer = family.post(url_of(begun), CONTENT_LENGTH=str(1024 * 1024 + 64 * 1024 + 1))
    assert answer.status_code == 413
    assert "larger than 1 MB" in answer.text


def test_there_is_no_other_way_than_the_form(family, begun):
    assert family.put(url_of(begun), FILM, "application/octet-stream").status_code == 405


def test_without_the_pages_token_nothing_is_taken(guardian, begun):
    client = Client(enforce_csrf_checks=True)
    client.force_login(guardian, backend="allauth.account.auth_backends.AuthenticationBackend")
    assert put(client, begun).status_code == 403
    client.get(reverse("submission_clip", args=[begun.pk]))
    token = client.cookies["csrftoken"].value
    assert put(client, begun, **{"X-CSRFToken": token}).status_code == 302


class TestStates:
    @pytest.mark.parametrize("state", [State.FILM_AGAIN, State.UNREADABLE])
    def test_a_new_clip_after_a_bad_one_is_promised_anew(self, family, submission, state):
        sent = submission(state, promised_by=None)
        assert put(family, sent).status_code == 302
        sent.refresh_from_db()
        assert sent.state == State.RECEIVED
        assert sent.promised_by is not None

    def test_a_second_clip_takes_a_waiting_one_back_to_be_measured(self, family, submission):
        sent = submission(State.READY)
        promised = sent.promised_by
        make_clip(sent)
        put(family, sent)
        sent.refresh_from_db()
        assert (sent.state, sent.clips.count(), sent.promised_by) == (State.RECEIVED, 2, promised)

    def test_a_second_clip_while_the_first_is_measured_joins_it(self, family, submission):
        sent = submission(State.MEASURING)
        make_clip(sent)
        assert put(family, sent).status_code == 302
        sent.refresh_from_db()
        assert sent.state == State.MEASURING

    @pytest.mark.parametrize("state", [State.IN_REVIEW, State.PUBLISHED, State.WITHDRAWN])
    def test_one_that_is_with_the_coach_takes_none(self, family, submission, state):
        answer = put(family, submission(state))
        assert answer.status_code == 409
        assert "Start a new one" in answer.text
        assert not Clip.objects.exists()

    def test_without_consent_no_clip_is_kept(self, family, begun):
        consent.take_back(begun.player.consents.get())
        sent = make_submission(begun.player, begun.camp)
        answer = put(family, sent)
        assert answer.status_code == 409
        assert "Consent was taken back" in answer.text
        assert not Clip.objects.exists()

    def test_a_coach_who_takes_it_up_in_between_wins(self, family, begun, monkeypatch):
        """The state is looked at again when the clip is entered; then the file goes, too."""
        honest = same.find

        def meanwhile(submission, *about):
            Submission.objects.filter(pk=submission.pk).update(state=State.WITHDRAWN)
            return honest(submission, *about)

        monkeypatch.setattr(same, "find", meanwhile)
        assert put(family, begun).status_code == 409
        assert not Clip.objects.exists()
        assert default_storage.listdir("originals")[1] == []


class TestPlainForm:
    def test_a_browser_without_our_script_sends_a_form(self, family, begun):
        page = family.post(url_of(begun), {"clip": SimpleUploadedFile("swing.mp4", FILM)})
        assert page.url == reverse("submission", args=[begun.pk])
        assert Clip.objects.get().original.read() == FILM

    @pytest.mark.parametrize(
        ("file", "words"),
        [
            (SimpleUploadedFile("swing.mp4", b""), "This file is empty"),
            (SimpleUploadedFile("swing.mp4", b"text, renamed to look like a film"), "no film that we can open"),
            (None, "Choose the clip first"),
        ],
    )
    def test_faults_are_said_on_the_page(self, family, begun, file, words):
        page = family.post(url_of(begun), {"clip": file} if file else {})
        assert page.status_code in (400, 415)
        assert words in page.text

    def test_a_giant_is_refused_unread(self, family, begun, settings):
        settings.UPLOAD_MAX_BYTES = 1024
        page = family.post(url_of(begun), {"clip": SimpleUploadedFile("swing.mp4", FILM)})
        assert page.status_code == 413
        assert "Cut it on the phone" in page.text


class TestAccess:
    def test_the_player_may_send(self, sign_in, player_user, begun):
        assert put(sign_in(player_user), begun).status_code == 302

    @pytest.mark.parametrize("persona", ["coach", "owner", "other_guardian", "other_coach"])
    def test_nobody_else_may(self, persona, request, sign_in, begun):
        assert put(sign_in(request.getfixturevalue(persona)), begun).status_code == 404
        assert not Clip.objects.exists()

    def test_a_stranger_finds_nothing(self, stranger, begun):
        assert put(stranger, begun).status_code == 404

    def test_no_such_submission(self, family, db):
        assert family.post(reverse("clip_upload", args=[uuid4()])).status_code == 404

    def test_it_cannot_be_read(self, family, begun):
        assert family.get(url_of(begun)).status_code == 405


@pytest.mark.django_db(transaction=True)
def test_a_clip_that_was_acknowledged_outlives_a_dead_queue(family, begun, monkeypatch):
    """Found on a real site: Redis died, the row was committed and the file deleted, five times of five."""

    def dead(_clip_id):
        raise ConnectionError("Error 111 connecting to the queue")

    monkeypatch.setattr("portal.measuring.queue.send", dead)
    assert put(family, begun).status_code == 302
    assert Clip.objects.get().original.read() == FILM


@pytest.mark.django_db(transaction=True)
def test_a_file_goes_only_when_its_row_never_came_to_be(family, begun, monkeypatch):
    def broken(*_about):
        raise RuntimeError("no such move")

    monkeypatch.setattr(clips, "_enter", broken)
    with pytest.raises(RuntimeError):
        put(family, begun)
    assert default_storage.listdir("originals")[1] == []
