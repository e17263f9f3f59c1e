"""Room on the disk: asked for before, waited for later, and never the family's fault."""

# ruff: noqa: F401, F811 - fixtures of another module

from __future__ import annotations

import errno
import shutil
from types import SimpleNamespace

import pytest
from django.core import mail
from django.core.files.storage import FileSystemStorage, default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from portal.evaluations import tasks as pdf_tasks
from portal.health import ballast
from portal.health.models import Notice
from portal.health.state import findings
from portal.intake import erase, room
from portal.intake.models import Clip, Upload
from portal.intake.states import State
from portal.intake.tus import parts
from portal.measuring import claims, sweeping, work
from portal.measuring.models import Measurement, Stage
from portal.outbox.models import Email
from tests.portal.conftest import make_player, make_submission
from tests.portal.intake.tus.test_protocol import FILM, create, patch
from tests.portal.measuring.conftest import fake, make_waiting_clip, runs, waiting_clip

MB = 1024 * 1024


@pytest.fixture(autouse=True)
def sent(monkeypatch):
    ids = []
    monkeypatch.setattr("portal.measuring.queue.send", ids.append)
    monkeypatch.setattr("portal.measuring.queue.length", lambda name: 0)
    return ids


@pytest.fixture
def disk(monkeypatch):
    """A disk with as many bytes free as a test says."""
    told = SimpleNamespace(free=100_000 * MB)
    monkeypatch.setattr(shutil, "disk_usage", lambda folder: SimpleNamespace(free=told.free, total=10**12, used=0))
    return told


@pytest.fixture
def family(sign_in, guardian):
    return sign_in(guardian)


def emails_to_the_owner() -> int:
    return Email.objects.filter(to="owner@example.org", subject__startswith="The disk is full").count()


class TestBefore:
    def test_each_way_to_send_is_refused_with_words_that_it_is_our_trouble(self, family, submission, disk, owner):
        begun, disk.free = submission(), 100 * MB
        form = family.post(reverse("clip_upload", args=[begun.pk]), {"clip": SimpleUploadedFile("a.mp4", FILM)})
        for answer in (form, create(family, begun)):
            assert answer.status_code == 507
            assert "our trouble, not yours" in answer.content.decode()
        assert not Clip.objects.exists()
        assert not Upload.objects.exists()

    def test_the_owner_is_told_once_a_day(self, family, submission, disk, owner):
        begun, disk.free = submission(), 100 * MB
        for _ in range(3):
            create(family, begun)
        assert emails_to_the_owner() == 1
        Notice.objects.update(told_at=Notice.objects.get().told_at - notices_day())
        create(family, begun)
        assert emails_to_the_owner() == 2

    def test_what_is_made_of_a_clip_is_asked_for_too(self, disk, settings, db):
        size = 100 * MB
        disk.free = size + settings.DISK_RESERVE_BYTES + 1
        assert not room.is_there_for(size)
        disk.free += 2 * room.made_of(size)
        assert room.is_there_for(size)

    def test_what_was_promised_to_others_is_not_promised_twice(
        self, family, submission, disk, settings, camp, guardian
    ):
        size = 100 * MB
        disk.free = size + 2 * room.made_of(size) + settings.DISK_RESERVE_BYTES + MB
        other = make_submission(make_player(camp, guardian, first_name="Tom"), camp)
        assert create(family, submission(), size=size).status_code == 201
        assert create(family, other, size=size).status_code == 507

    def test_the_health_page_says_it(self, disk, db):
        disk.free = 100 * MB
        found = next(finding for finding in findings() if finding.id == "disk")
        assert (found.ok, found.seen) == (False, "0.1 GB free")


def notices_day():
    from portal.health.notices import A_DAY

    return A_DAY


class TestOnTheWay:
    def test_a_disk_that_fills_up_keeps_what_came(self, family, submission, monkeypatch, owner):
        url = create(family, submission()).headers["Location"]
        patch(family, url, FILM[:5000], 0)

        def full(*args):
            raise OSError(errno.ENOSPC, "No space left on device")

        with monkeypatch.context() as trouble:
            trouble.setattr(parts, "append", full)
            answer = patch(family, url, FILM[5000:], 5000)
        assert (answer.status_code, answer.json()["code"]) == (507, "disk_full")
        assert emails_to_the_owner() == 1
        assert patch(family, url, FILM[5000:], 5000).status_code == 204
        assert Clip.objects.get().original.read() == FILM


class TestLater:
    def test_a_clip_waits_where_there_is_no_room_to_measure_it(self, fake, waiting_clip, disk, owner):
        disk.free = 10 * MB
        assert work.measure(waiting_clip.pk) == "no room"
        row = Measurement.objects.get()
        assert (row.stage, row.attempt, row.waits_for_room, runs(fake)) == (Stage.WAITING, 0, True, 0)
        assert emails_to_the_owner() == 1

    @pytest.mark.slow
    @pytest.mark.parametrize("where", ["the program", "the products", "the row"])
    def test_a_disk_that_fills_up_on_the_way_counts_no_attempt(
        self,
        fake,
        waiting_clip,
        monkeypatch,
        where,
        owner,
    ):
        def full(*args, **kwargs):
            raise OSError(errno.ENOSPC, "No space left on device")

        with monkeypatch.context() as trouble:
            if where == "the program":
                (fake / "end").write_text("full")
            elif where == "the products":
                trouble.setattr(FileSystemStorage, "save", full)
            else:
                trouble.setattr(claims, "finish", full)
            for _ in range(claims.MAX_ATTEMPTS + 1):
                assert work.measure(waiting_clip.pk) == "no room"
        row = Measurement.objects.get()
        assert (row.stage, row.attempt, row.waits_for_room) == (Stage.WAITING, 0, True)
        assert not default_storage.exists(waiting_clip.folder) or default_storage.listdir(waiting_clip.folder)[0] == []
        if where == "the program":
            (fake / "end").unlink()
        assert work.measure(waiting_clip.pk) == "measured"
        waiting_clip.submission.refresh_from_db()
        assert waiting_clip.submission.state == State.READY

    def test_the_sweep_asks_again(self, fake, waiting_clip, disk, sent, django_capture_on_commit_callbacks):
        disk.free = 10 * MB
        work.measure(waiting_clip.pk)
        disk.free = 10_000 * MB
        with django_capture_on_commit_callbacks(execute=True):
            assert sweeping.sweep() == 0, "it was held just now"
        Measurement.objects.update(queued_at=None)
        with django_capture_on_commit_callbacks(execute=True):
            assert sweeping.sweep() == 1
        assert sent == [waiting_clip.pk]

    def test_a_worker_that_went_silent_on_a_full_disk_costs_no_attempt(self, fake, waiting_clip, disk):
        claims.take(waiting_clip.pk)
        Measurement.objects.update(seen_at=None)
        disk.free = MB
        sweeping.sweep()
        assert Measurement.objects.get().attempt == 0

    def test_the_family_reads_that_there_is_nothing_to_do(self, family, fake, waiting_clip, disk):
        disk.free = MB
        work.measure(waiting_clip.pk)
        page = family.get(reverse("submission", args=[waiting_clip.submission_id])).text
        assert "Our disk is full" in page
        assert "There is nothing for you to do" in page
        assert "film once more" not in page.lower()

    def test_a_pdf_waits_too(self, evaluation, monkeypatch):
        def full(*args):
            raise OSError(errno.ENOSPC, "No space left on device")

        monkeypatch.setattr("portal.evaluations.pdf.keep_pdf", full)
        for _ in range(pdf_tasks.MAX_ATTEMPTS + 1):
            assert pdf_tasks.make_pdf(str(evaluation.pk)) == "no room"
        evaluation.refresh_from_db()
        assert (evaluation.pdf_attempt, evaluation.pdf_trouble) == (0, "")


class TestBallast:
    def test_it_is_thrown_off_before_a_withdrawal_on_a_full_disk_and_taken_again(
        self, submission, disk, settings, tmp_path
    ):
        settings.DATA_DIR = tmp_path
        assert ballast.take_aboard()
        assert (tmp_path / "ballast").stat().st_size == ballast.SIZE
        erase.withdraw(submission(State.READY))
        assert ballast.path().exists(), "there is room: nothing is given up"
        disk.free = MB
        erase.withdraw(submission(State.READY))
        assert not ballast.path().exists()
        assert not ballast.take_aboard()
        disk.free = 10_000 * MB
        assert ballast.take_aboard()
        assert [path.name for path in tmp_path.iterdir() if "ballast" in path.name] == ["ballast"]


def test_no_email_leaves_for_nobody(db, disk):
    room.tell_owner()
    assert mail.outbox == []
