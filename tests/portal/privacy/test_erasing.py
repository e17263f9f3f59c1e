"""What an erasure takes and what it leaves: a child, an account, a coach's name."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest
import redis
from django.db import OperationalError, transaction
from django.urls import reverse
from django.utils import timezone

from portal.desk.models import Review
from portal.evaluations.models import AccessLogEntry, Evaluation
from portal.intake import consent, mails
from portal.intake.models import Clip, Consent, Submission
from portal.intake.states import State
from portal.measuring import work, workplaces
from portal.outbox.models import Email
from portal.people import of_age
from portal.people.models import Player, User
from portal.privacy import again, erasing, finishing, ledger, marks, messages
from portal.privacy.models import AskedBy, ConsentRecord, Erasure
from portal.privacy.tasks import finish_erasures
from tests.portal.conftest import make_clip, make_player, make_submission, make_user

YES = {"sure": "on"}


@pytest.fixture(autouse=True)
def own_ledger(settings, tmp_path):
    settings.ERASED_LEDGER = str(tmp_path / "erased.jsonl")


@pytest.fixture
def asked(monkeypatch):
    """Nobody is asked to finish; the test does it."""
    monkeypatch.setattr(finishing, "ask_worker", lambda pk: None)


def files(settings) -> list[str]:
    root = Path(settings.MEDIA_ROOT)
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


def url(player):
    return reverse("player_erase", args=[player.pk])


class TestAChild:
    @pytest.mark.parametrize(
        ("persona", "may"),
        [
            ("player_user", False),
            ("guardian", True),
            ("other_guardian", False),
            ("coach", False),
            ("other_coach", False),
            ("owner", True),
        ],
    )
    def test_who_may_have_it_erased(self, persona, may, request, sign_in, player, other_player, asked):
        client = sign_in(request.getfixturevalue(persona))
        assert client.get(url(player)).status_code == (200 if may else 404)
        client.post(url(player), YES)
        assert Player.objects.filter(pk=player.pk).exists() != may

    def test_is_asked_for_once_and_only_with_the_tick(self, sign_in, guardian, player):
        page = sign_in(guardian).post(url(player), {})
        assert "Tick this if you want it erased" in page.text
        assert Player.objects.filter(pk=player.pk).exists()

    def test_goes_with_everything(
        self, sign_in, guardian, player, evaluation, settings, asked, django_capture_on_commit_callbacks
    ):
        with django_capture_on_commit_callbacks(execute=True):
            page = sign_in(guardian).post(url(player), YES)
        assert page.url == reverse("home")
        for model in (Player, Submission, Clip, Review, Evaluation, Consent, AccessLogEntry):
            assert not model.objects.exists(), model
        assert files(settings) == []
        assert not User.objects.filter(email="ida@example.org").exists()
        assert User.objects.filter(pk=guardian.pk).exists()

    def test_files_stay_when_the_change_is_undone(
        self, player, measured_clip, settings, django_capture_on_commit_callbacks
    ):
        before = files(settings)
        with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
            erasing.erase_player(player, AskedBy.FAMILY)
            transaction.set_rollback(True)
        assert files(settings) == before

    def test_leaves_that_consent_was_given_and_ended_without_a_name(self, player, camp, asked):
        given = player.consents.get()
        mark = marks.mark_of(player.pk)
        erasing.erase_player(player, AskedBy.FAMILY)
        kept = ConsentRecord.objects.get()
        assert (kept.mark, kept.camp, kept.wording, kept.given_at) == (mark, camp, given.wording, given.given_at)
        assert kept.ended_at is not None

    def test_takes_the_emails_about_it_and_leaves_those_about_a_sister(self, guardian, player, camp, asked):
        sister = make_player(camp, guardian, first_name="Wilma")
        mails.received(make_submission(sister, camp, State.RECEIVED))
        mails.received(make_submission(player, camp, State.RECEIVED))
        Email.objects.create(
            to="owner@example.org", sender="us", subject="A clip", body=f"Look at /players/{player.pk}/"
        )
        Email.objects.create(to=guardian.email, sender="us", subject="A question", body="How is Ida?")
        Email.objects.create(to=guardian.email, sender="us", subject="Your code", body="Idaho is far away.")
        erasing.erase_player(player, AskedBy.FAMILY)
        assert Player.objects.get() == sister
        texts = " ".join(f"{email.subject} {email.body}" for email in Email.objects.all())
        assert "Wilma" in texts
        assert "Idaho" in texts
        assert "Ida’s" not in texts
        assert "How is Ida" not in texts
        assert str(player.pk) not in texts

    def test_the_other_guardian_is_told_without_a_name(self, sign_in, guardian, other_guardian, player, asked):
        player.guardians.add(other_guardian)
        sign_in(guardian).post(url(player), YES)
        email = Email.objects.get(to=other_guardian.email)
        assert "erased" in email.subject
        assert "Ida" not in email.subject + email.body

    def test_goes_while_a_worker_measures_it(self, player, submission, monkeypatch, settings, asked):
        from portal.measuring import runner
        from portal.measuring.models import Measurement

        clip = make_clip(submission(State.RECEIVED))
        Measurement.objects.create(clip=clip)

        def measure(original, place, listener):
            assert place.name.startswith(str(clip.pk))
            erasing.erase_player(player, AskedBy.FAMILY)
            listener(None)
            raise AssertionError("a worker whose clip is gone goes on")

        monkeypatch.setattr(runner, "measure", measure)
        assert work.measure(clip.pk) == "lost"
        assert [path for path in workplaces.root().glob("*") if path.name.startswith(str(clip.pk))] == []
        finish(monkeypatch)
        assert files(settings) == []

    def test_a_killed_workers_place_is_cleared(self, player, submission, asked, monkeypatch):
        clip = make_clip(submission(State.RECEIVED))
        place = workplaces.root() / f"{clip.pk}-killed"
        place.mkdir(parents=True)
        (place / "frames").write_bytes(b"frames")
        erasing.erase_player(player, AskedBy.FAMILY)
        finish(monkeypatch)
        assert not place.exists()


def finish(monkeypatch) -> None:
    """What the worker does, in a test without Redis."""
    monkeypatch.setattr(messages, "forget", lambda ids: 0)
    monkeypatch.setattr(messages, "forget_on_disk", lambda: None)
    finish_erasures()


class TestTrouble:
    def test_a_full_disk_gives_up_the_film_first(self, player, measured_clip, settings, monkeypatch, asked):
        real, full = erasing._player_rows, [True]

        def rows(*args):
            if full and files(settings):
                raise OperationalError("database or disk is full")
            real(*args)

        monkeypatch.setattr(erasing, "_player_rows", rows)
        erasing.erase_player(player, AskedBy.FAMILY)
        assert not Player.objects.exists()
        assert files(settings) == []

    def test_a_ledger_that_cannot_be_written_is_written_later(self, player, monkeypatch, asked):
        key = str(player.pk)

        def refuse(kind, key):
            raise OSError(errno.ENOSPC, "No space left on device")

        with monkeypatch.context() as full:
            full.setattr(ledger, "note", refuse)
            erasing.erase_player(player, AskedBy.FAMILY)
        assert not ledger.read().holds("player", key)
        finish(monkeypatch)
        assert ledger.read().holds("player", key)

    def test_a_dead_queue_stops_nothing_and_is_asked_again(
        self, sign_in, guardian, player, measured_clip, settings, monkeypatch, django_capture_on_commit_callbacks
    ):
        settings.REDIS_URL = "redis://127.0.0.1:1/0"
        with django_capture_on_commit_callbacks(execute=True):
            assert sign_in(guardian).post(url(player), YES).status_code == 302
        assert files(settings) == []
        with pytest.raises(redis.RedisError):
            finishing.finish_all()
        assert Erasure.objects.get().finished_at is None
        finish(monkeypatch)
        row = Erasure.objects.get()
        assert row.finished_at is not None
        assert (row.files, row.folders, row.ids, row.owed) == ([], [], [], [])


class TestAnAccount:
    def erase(self, client):
        return client.post(reverse("account_erase"), YES)

    def test_of_an_only_guardian_takes_the_child_along(self, sign_in, guardian, player, asked):
        client = sign_in(guardian)
        assert str(player) in client.get(reverse("account_erase")).text
        assert self.erase(client).url == reverse("erased")
        assert not Player.objects.exists()
        assert not User.objects.filter(email__in=["lea@example.org", "ida@example.org"]).exists()
        assert client.get(reverse("family")).status_code == 302

    def test_of_one_of_two_guardians_leaves_the_child_and_the_consent(
        self, sign_in, guardian, other_guardian, player, camp, asked
    ):
        player.guardians.add(other_guardian)
        client = sign_in(guardian)
        assert f"{player} stays, with {other_guardian} as guardian." in client.get(reverse("account_erase")).text
        self.erase(client)
        assert list(player.guardians.all()) == [other_guardian]
        assert consent.holding(player, camp) is not None
        assert "a guardian who has left" in sign_in(other_guardian).get(reverse("player", args=[player.pk])).text

    def test_of_a_child_is_the_sign_in_alone(self, sign_in, player_user, player, asked):
        client = sign_in(player_user)
        assert "a guardian speaks for this player" in client.get(reverse("account_erase")).text
        self.erase(client)
        player.refresh_from_db()
        assert player.user is None
        assert consent.holding(player, player.camps.get()) is not None

    def test_of_a_grown_up_player_takes_the_player_along(self, sign_in, camp, asked):
        user = make_user("runa@example.org", "Runa Falk")
        runa = Player.objects.create(first_name="Runa", birth_year=1990, user=user)
        of_age.call_adult(runa, user)
        self.erase(sign_in(user))
        assert not Player.objects.exists()
        assert not User.objects.filter(email="runa@example.org").exists()

    def test_of_a_coach_leaves_the_evaluations_without_the_name(
        self, sign_in, owner, coach, camp, guardian, evaluation, asked
    ):
        sign_in(coach).get(reverse("evaluation", args=[evaluation.pk]))
        sign_in(owner).post(reverse("person_erase", args=[coach.pk]), YES)
        page = sign_in(guardian).get(reverse("evaluation", args=[evaluation.pk]))
        assert page.status_code == 200
        assert "Maren" not in page.text
        assert "A former coach" in sign_in(guardian).get(reverse("submission", args=[evaluation.submission_id])).text
        coach.refresh_from_db()
        assert not coach.is_active
        assert not coach.emailaddress_set.exists()
        assert list(camp.coaches.all()) == []

    def test_of_a_coach_gives_a_review_under_way_back(self, review, coach, asked):
        erasing.erase_account(coach, AskedBy.THEMSELVES)
        review.submission.refresh_from_db()
        assert review.submission.state == State.READY

    def test_of_the_only_owner_is_refused(self, sign_in, owner):
        asks = sign_in(owner).get(reverse("account_erase")).text
        assert "You are the only owner. Erased, you would leave this site without anybody who keeps it running." in asks
        assert "Erase for good" not in asks
        page = sign_in(owner).post(reverse("account_erase"), YES, follow=True)
        assert "only owner" in page.text
        assert User.objects.filter(pk=owner.pk).exists()

    @pytest.mark.parametrize("persona", ["player_user", "guardian", "other_guardian", "coach", "other_coach"])
    def test_of_somebody_else_is_erased_by_the_owner_alone(self, persona, request, sign_in, owner):
        client = sign_in(request.getfixturevalue(persona))
        assert client.post(reverse("person_erase", args=[owner.pk]), YES).status_code == 404


class TestTheLedger:
    def test_holds_no_name_and_no_id(self, player, asked):
        key = str(player.pk)
        erasing.erase_player(player, AskedBy.FAMILY)
        text = ledger.path().read_text()
        assert key not in text
        assert "Ida" not in text
        assert ledger.path().stat().st_mode & 0o077 == 0

    def test_a_line_that_was_cut_off_spoils_no_other(self):
        ledger.note("player", "one")
        with ledger.path().open("a") as file:
            file.write('{"kind": "player", "sal')
        ledger.note("player", "two")
        read = ledger.read()
        assert read.holds("player", "one")
        assert read.holds("player", "two")
        assert not read.holds("player", "three")

    def test_another_machines_list_is_taken_over_once(self, tmp_path, settings):
        ledger.note("player", "one")
        other = tmp_path / "other.jsonl"
        ledger.path().rename(other)
        ledger.note("player", "two")
        assert ledger.merge(other) == 1
        assert ledger.merge(other) == 0
        assert ledger.read().holds("player", "one")
        assert ledger.read().holds("player", "two")


class TestAgain:
    """A restored backup brings rows back; the ledger says which."""

    def test_players_and_accounts_go_again(self, player, guardian, other_player, asked):
        ledger.note("player", marks.player_key(player.pk))
        ledger.note("account", marks.account_key(guardian))
        assert again.erase_again() == 2
        assert list(Player.objects.all()) == [other_player]
        assert not User.objects.filter(email="lea@example.org").exists()
        assert again.erase_again() == 0

    def test_a_number_that_is_given_out_once_more_is_somebody_else(self, guardian, player):
        ledger.note("account", f"{guardian.pk} {timezone.now().timestamp():.6f}")
        assert again.erase_again() == 0

    def test_what_was_withdrawn_is_withdrawn_again(
        self, player, measured_clip, django_capture_on_commit_callbacks, settings
    ):
        ledger.note(ledger.WITHDRAWN, str(measured_clip.submission_id))
        with django_capture_on_commit_callbacks(execute=True):
            assert again.erase_again() == 1
        assert Submission.objects.get().state == State.WITHDRAWN
        assert files(settings) == []

    def test_withdrawing_and_ending_consent_are_noted(
        self, player, camp, submission, django_capture_on_commit_callbacks
    ):
        sent, given = submission(State.READY), player.consents.get()
        with django_capture_on_commit_callbacks(execute=True):
            consent.take_back(given)
        read = ledger.read()
        assert read.holds(ledger.WITHDRAWN, str(sent.pk))
        Consent.objects.filter(pk=given.pk).update(taken_back_at=None)
        assert again.erase_again() == 1
        assert consent.holding(player, camp) is None

    def test_what_the_disk_did_not_take_after_the_commit_is_written_later(
        self, player, camp, submission, monkeypatch, django_capture_on_commit_callbacks
    ):
        sent, given = submission(State.READY), player.consents.get()

        def refuse(lines):
            raise OSError(errno.ENOSPC, "No space left on device")

        with monkeypatch.context() as full:
            full.setattr(ledger, "append", refuse)
            with django_capture_on_commit_callbacks(execute=True):
                consent.take_back(given)
            with pytest.raises(OSError, match="No space"):
                finish_erasures()
        assert not ledger.read().hashes
        finish(monkeypatch)
        read = ledger.read()
        assert read.holds(ledger.WITHDRAWN, str(sent.pk))
        assert read.holds(ledger.ENDED, marks.consent_key(given.pk, given.given_at))
        finish(monkeypatch)
        assert ledger.read() == read

    def test_nothing_to_do_without_a_ledger(self, player):
        assert again.erase_again() == 0


def test_what_follows_the_commit_cannot_undo_it(player, monkeypatch, django_capture_on_commit_callbacks):
    def broken(pk):
        raise RuntimeError("the disk is gone")

    monkeypatch.setattr(finishing, "delete_files", broken)
    with django_capture_on_commit_callbacks(execute=True):
        erasing.erase_player(player, AskedBy.FAMILY)
    assert not Player.objects.exists()


@pytest.mark.parametrize(("who", "offered"), [("guardian", True), ("owner", False)])
def test_the_page_offers_the_copy_to_whom_it_holds_the_child_for(who, offered, request, player, sign_in):
    page = sign_in(request.getfixturevalue(who)).get(f"/players/{player.pk}/erase/").content.decode()
    assert ("Take a copy of everything" in page, "take a copy of everything first" in page) == (offered, offered)
    assert "It can’t be undone." in page


def test_the_page_counts_what_there_is_and_says_nothing_of_what_there_is_not(player, camp, guardian, sign_in):
    page = f"/players/{player.pk}/erase/"
    bare = sign_in(guardian).get(page).content.decode()
    assert "0 clips" not in bare
    assert "made from them" not in bare
    make_clip(make_submission(player, camp, State.READY))
    assert "1 clip," in " ".join(sign_in(guardian).get(page).content.decode().split())
