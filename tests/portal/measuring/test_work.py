"""One clip from claim to end, in this process, with the stand-in for the analysis."""

import hashlib
from pathlib import Path

import pytest
from django.core import mail
from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, default_storage
from django.db import transaction
from django.urls import reverse

from portal.intake import erase
from portal.intake.models import Submission
from portal.intake.states import State
from portal.measuring import claims, door, endings, products, work
from portal.measuring.models import Measurement, Stage
from portal.people.models import Level
from tests.portal.measuring.conftest import make_waiting_clip, runs

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def sent(monkeypatch):
    ids = []
    monkeypatch.setattr("portal.measuring.queue.send", ids.append)
    return ids


def row(clip) -> Measurement:
    return Measurement.objects.get(clip=clip)


def test_a_measured_clip_has_its_files_its_reading_and_its_place_in_the_queue(fake, waiting_clip):
    assert work.measure(waiting_clip.pk) == "measured"
    held = row(waiting_clip)
    assert (held.stage, held.method, held.attempt) == (Stage.DONE, 7, 1)
    assert held.result["clip"]["frames"] == 60
    names = set(default_storage.listdir(held.products)[1])
    assert {"review.mp4", "review.samples.json", "stills.json", "stills-0-19.pack", "poster.jpg", "tracks.npz"} <= names
    assert held.products.startswith(waiting_clip.folder)
    waiting_clip.submission.refresh_from_db()
    assert waiting_clip.submission.state == State.READY


def test_a_second_message_changes_nothing(fake, waiting_clip):
    work.measure(waiting_clip.pk)
    before = row(waiting_clip)
    assert work.measure(waiting_clip.pk) == "idle"
    assert (row(waiting_clip).products, row(waiting_clip).attempt, runs(fake)) == (before.products, 1, 1)


def test_the_level_of_the_player_chooses_the_bands(fake, waiting_clip, monkeypatch):
    levels = []
    real = door.read_tracks
    monkeypatch.setattr(door, "read_tracks", lambda *a: levels.append(a[2]) or real(*a))
    work.measure(waiting_clip.pk)
    assert levels == [Level.YOUTH]


def test_a_refused_clip_is_unreadable_with_its_words(fake, waiting_clip):
    (fake / "end").write_text("refuse")
    assert work.measure(waiting_clip.pk) == "failed"
    held = row(waiting_clip)
    assert (held.stage, held.failure_code, held.attempt) == (Stage.FAILED, "nobody", 1)
    assert "Film from the side" in held.failure_words
    assert not default_storage.exists(waiting_clip.folder)


def test_a_crash_is_tried_three_times_then_said(fake, waiting_clip):
    (fake / "end").write_text("crash")
    assert [work.measure(waiting_clip.pk) for _ in range(4)] == ["again", "again", "again", "idle"]
    held = row(waiting_clip)
    assert (held.stage, held.failure_code, runs(fake)) == (Stage.FAILED, "stopped", 3)
    waiting_clip.submission.refresh_from_db()
    assert waiting_clip.submission.state == State.UNREADABLE


def test_overtime_is_said_at_once(fake, waiting_clip, settings):
    settings.MEASURE_TIME_LIMIT_S, settings.MEASURE_STALE_S = 1, 2
    (fake / "halt-reading").touch()
    assert work.measure(waiting_clip.pk) == "failed"
    assert row(waiting_clip).failure_code == "overtime"


def test_a_worker_taken_for_dead_leaves_nothing_behind(fake, waiting_clip, monkeypatch):
    """It comes back with its products stored, but another worker has the clip now: its files go, the row stays."""
    real = products.put

    def put_and_lose(source, folder):
        real(source, folder)
        held = row(waiting_clip)
        claims.release(waiting_clip.pk, held.claim, held.attempt)

    monkeypatch.setattr(products, "put", put_and_lose)
    assert work.measure(waiting_clip.pk) == "lost"
    assert row(waiting_clip).stage == Stage.WAITING
    assert default_storage.listdir(waiting_clip.folder)[0] == []
    monkeypatch.setattr(products, "put", real)
    assert work.measure(waiting_clip.pk) == "measured"
    assert len(default_storage.listdir(waiting_clip.folder)[0]) == 1


def test_a_clip_withdrawn_in_the_middle_stops_its_worker(fake, waiting_clip, monkeypatch):
    real = work._Progress.__call__

    def withdraw_then_go_on(self, line):
        type(waiting_clip).objects.filter(pk=waiting_clip.pk).delete()
        real(self, line)

    monkeypatch.setattr(work._Progress, "__call__", withdraw_then_go_on)
    assert work.measure(waiting_clip.pk) == "lost"
    assert not default_storage.exists(waiting_clip.folder)


def test_a_clip_withdrawn_while_its_products_are_stored_leaves_no_file(
    fake, waiting_clip, monkeypatch, django_capture_on_commit_callbacks, settings
):
    """The withdrawal deletes everything there is; what the worker writes after that goes as soon as it notices."""
    real, written = FileSystemStorage.save, []

    def withdraw_after_the_second(storage, name, content, **more):
        stored = real(storage, name, content, **more)
        written.append(stored)
        if len(written) == 2:
            with django_capture_on_commit_callbacks(execute=True):
                erase.withdraw(Submission.objects.get())
            assert not default_storage.exists(stored)
        return stored

    monkeypatch.setattr(FileSystemStorage, "save", withdraw_after_the_second)
    assert work.measure(waiting_clip.pk) == "lost"
    assert len(written) > 3  # the worker was in the middle
    assert not default_storage.exists(waiting_clip.folder)
    kept = [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]
    assert kept == []


def test_a_clip_withdrawn_right_after_its_measuring_is_no_fault(fake, waiting_clip, monkeypatch):
    real = work._keep

    def keep_then_withdraw(*args):
        real(*args)
        erase.delete_folder(waiting_clip.folder)
        type(waiting_clip).objects.filter(pk=waiting_clip.pk).delete()

    monkeypatch.setattr(work, "_keep", keep_then_withdraw)
    assert work.measure(waiting_clip.pk) == "measured"
    assert not default_storage.exists(waiting_clip.folder)


def test_being_asked_to_stop_gives_the_clip_back_unharmed(fake, waiting_clip, monkeypatch):
    def stop(self, line):
        raise SystemExit

    monkeypatch.setattr(work._Progress, "__call__", stop)
    with pytest.raises(SystemExit):
        work.measure(waiting_clip.pk)
    assert (row(waiting_clip).stage, row(waiting_clip).attempt) == (Stage.WAITING, 0)


def test_the_same_file_is_not_watched_twice(fake, submission, other_player, other_camp):
    first = make_waiting_clip(submission(State.RECEIVED))
    second = make_waiting_clip(submission(State.RECEIVED))
    for clip in (first, second):
        clip.sha256 = "5" * 64
        type(clip).objects.filter(pk=clip.pk).update(sha256=clip.sha256, submission=clip.submission)
        assert work.measure(clip.pk) == "measured"
    one, two = row(first), row(second)
    assert runs(fake) == 1
    assert one.products != two.products
    assert default_storage.listdir(one.products)[1] == default_storage.listdir(two.products)[1]
    assert two.result == one.result


def test_the_hash_of_a_clip_is_noted_while_it_is_measured(fake, waiting_clip):
    with waiting_clip.original.open("rb") as file:
        known = hashlib.sha256(file.read()).hexdigest()
    type(waiting_clip).objects.filter(pk=waiting_clip.pk).update(sha256="")
    assert work.measure(waiting_clip.pk) == "measured"
    waiting_clip.refresh_from_db()
    assert waiting_clip.sha256 == known


def test_the_same_file_twice_in_a_submission_stops_no_measuring(fake, submission):
    sent = submission(State.RECEIVED)
    first, second = make_waiting_clip(sent), make_waiting_clip(sent)
    for clip in (first, second):
        with clip.original.storage.open(clip.original.name, "wb") as file:
            file.write(b"the same")
        type(clip).objects.filter(pk=clip.pk).update(sha256="")
        assert work.measure(clip.pk) == "measured"
    assert runs(fake) == 1


def test_half_a_set_of_files_of_a_killed_worker_goes_when_the_next_is_done(fake, waiting_clip):
    default_storage.save(f"{waiting_clip.folder}/0123456789ab/stills.json", ContentFile(b"{}"))
    assert work.measure(waiting_clip.pk) == "measured"
    folders = default_storage.listdir(waiting_clip.folder)[0]
    assert [f"{waiting_clip.folder}/{name}" for name in folders] == [row(waiting_clip).products]


def test_a_clip_without_a_swing_is_told_to_the_family_and_stays_with_the_coach(
    fake, waiting_clip, guardian, sign_in, django_capture_on_commit_callbacks
):
    """The stand-in's tracks show nobody swinging."""
    with django_capture_on_commit_callbacks(execute=True):
        assert work.measure(waiting_clip.pk) == "measured"
    emails = [email for email in mail.outbox if email.to == [guardian.email]]
    assert [email.subject for email in emails] == ["We found no swing in the clip"]
    assert "from before the load until after the finish" in emails[0].body
    page = sign_in(guardian).get(reverse("submission", args=[waiting_clip.submission_id])).content.decode()
    assert "No swing found in" in page
    assert "nothing for you to do until then" not in page
    assert "will look at it by" not in page


def test_a_swing_is_no_reason_for_an_email(measured_clip, django_capture_on_commit_callbacks):
    assert not measured_clip.measurement.has_no_swing
    Submission.objects.update(state=State.MEASURING)
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        endings.settle(measured_clip.submission_id)
    assert Submission.objects.get().state == State.READY
    assert mail.outbox == []
