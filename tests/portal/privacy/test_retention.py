"""What a camp keeps no longer goes, after two emails; a follow-up moves the day."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from django.urls import reverse
from django.utils import timezone

from portal.camps.models import Camp, Enrolment
from portal.evaluations.models import Evaluation
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.outbox.models import Email
from portal.people.models import Player, User
from portal.privacy import finishing, keeping, retention
from portal.privacy.keeping import months_after
from portal.privacy.models import ConsentRecord
from tests.portal.conftest import make_clip

END = date(2026, 10, 4)
SENT = date(2026, 10, 20)


@pytest.fixture(autouse=True)
def quiet(settings, tmp_path, monkeypatch):
    settings.ERASED_LEDGER = str(tmp_path / "erased.jsonl")
    monkeypatch.setattr(finishing, "ask_worker", lambda pk: None)


@pytest.fixture
def sent(evaluation) -> Submission:
    """A published submission whose clip came on SENT."""
    at = timezone.make_aware(datetime(SENT.year, SENT.month, SENT.day, 12))
    Submission.objects.update(received_at=at, created_at=at)
    evaluation.submission.refresh_from_db()
    return evaluation.submission


def days(word: str) -> list[str]:
    return sorted(email.to for email in Email.objects.filter(subject__contains=word))


def run(*on: date) -> list[int]:
    return [retention.keep_no_longer(day) for day in on]


class TestTheDay:
    @pytest.mark.parametrize(
        ("day", "months", "then"),
        [
            (date(2026, 10, 4), 12, date(2027, 10, 4)),
            (date(2027, 1, 31), 1, date(2027, 2, 28)),
            (date(2027, 12, 31), 2, date(2028, 2, 29)),
        ],
    )
    def test_counts_in_months_of_the_calendar(self, day, months, then):
        assert months_after(day, months) == then

    def test_is_counted_from_the_end_of_the_camp_or_from_a_later_clip(self, sent, player, camp):
        assert [kept.film_until for kept in keeping.all_kept([player])] == [date(2027, 10, 20)]
        Camp.objects.update(ends_on=date(2026, 12, 1))
        assert [kept.film_until for kept in keeping.all_kept([player])] == [date(2027, 12, 1)]
        Camp.objects.update(starts_on=None, ends_on=None)
        assert [kept.film_until for kept in keeping.all_kept([player])] == [date(2027, 10, 20)]


class TestFilm:
    DUE = date(2027, 10, 20)

    def test_goes_after_two_emails_and_the_evaluation_stays(
        self, sign_in, guardian, sent, evaluation, settings, django_capture_on_commit_callbacks
    ):
        with django_capture_on_commit_callbacks(execute=True):
            early, late = self.DUE - timedelta(days=30), self.DUE - timedelta(days=7)
            assert run(early - timedelta(days=1)) == [0]
            assert days("Film is deleted soon") == []
            assert run(early, early, early + timedelta(days=1)) == [0, 0, 0]
            assert days("Film is deleted soon") == ["ida@example.org", "lea@example.org"]
            assert run(late, late, self.DUE - timedelta(days=1)) == [0, 0, 0]
            assert len(days("Film is deleted soon")) == 4
            assert run(self.DUE, self.DUE) == [1, 0]
        assert not Clip.objects.exists()
        root = Path(settings.MEDIA_ROOT)
        left = {path.relative_to(root).parts[0] for path in root.rglob("*") if path.is_file()}
        assert left <= {"evaluations"}
        client = sign_in(guardian)
        assert client.get(reverse("evaluation", args=[evaluation.pk])).status_code == 200
        assert "its film was deleted" in client.get(reverse("submission", args=[sent.pk])).text

    def test_is_never_deleted_without_a_week_of_notice(self, sent):
        late = self.DUE + timedelta(days=300)
        assert run(late, late + timedelta(days=6), late + timedelta(days=7)) == [0, 0, 1]
        assert "deleted on August 22, 2028" in Email.objects.filter(subject__contains="Film").first().body

    def test_that_was_never_published_ends_with_its_submission(self, submission, camp):
        left = submission(State.READY)
        make_clip(left)
        due = keeping.all_kept([left.player])[0].film_until
        run(due, due + timedelta(days=7))
        left.refresh_from_db()
        assert left.state == State.WITHDRAWN
        assert left.film_ended_at is not None

    def test_of_a_follow_up_moves_the_day_and_is_told_anew(self, sent, submission):
        run(self.DUE - timedelta(days=30))
        later = submission(State.PUBLISHED)
        at = timezone.make_aware(datetime(2027, 9, 25, 12))
        Submission.objects.filter(pk=later.pk).update(received_at=at, created_at=at)
        assert run(self.DUE) == [0]
        assert Clip.objects.exists()
        run(date(2028, 8, 26))
        assert len(days("Film is deleted soon")) == 4

    def test_of_a_desk_that_opens_afterwards_is_no_fault(self, sign_in, coach, sent):
        run(self.DUE, self.DUE + timedelta(days=7))
        assert sign_in(coach).get(reverse("desk", args=[sent.pk])).status_code == 200


class TestPages:
    DUE = date(2029, 10, 20)

    def test_go_with_the_player_and_the_family_that_has_nobody_left(self, sent, player, guardian, other_player):
        run(self.DUE - timedelta(days=7), self.DUE)
        assert list(Player.objects.all()) == [other_player]
        assert not Evaluation.objects.exists()
        assert not User.objects.filter(pk=guardian.pk).exists()
        assert ConsentRecord.objects.count() == 1

    def test_of_one_camp_leave_the_other_alone(self, sent, player, guardian, other_camp):
        Enrolment.objects.create(camp=other_camp, player=player)
        Enrolment.objects.filter(camp=other_camp).update(created_at=timezone.make_aware(datetime(2029, 9, 1)))
        run(self.DUE - timedelta(days=7), self.DUE)
        assert list(player.camps.all()) == [other_camp]
        assert not Submission.objects.exists()
        assert ConsentRecord.objects.count() == 1
        assert not player.consents.exists()


class TestTheForm:
    def about(self, camp, **changed):
        return {"name": camp.name, "turnaround_days": 7, "film_months": 12, "pages_months": 36, **changed}

    def test_the_coach_says_how_long(self, sign_in, coach, camp):
        sign_in(coach).post(reverse("camp_edit", args=[camp.pk]), self.about(camp, film_months=6))
        camp.refresh_from_db()
        assert camp.film_months == 6

    @pytest.mark.parametrize(
        ("changed", "words"),
        [
            ({"film_months": 0}, "nothing is kept forever"),
            ({"film_months": 999, "pages_months": 999}, "nothing is kept forever"),
            ({"film_months": 24, "pages_months": 12}, "can’t go before their film"),
        ],
    )
    def test_odd_times_are_refused(self, changed, words, sign_in, coach, camp):
        assert words in sign_in(coach).post(reverse("camp_edit", args=[camp.pk]), self.about(camp, **changed)).text

    def test_families_read_it_before_they_agree_and_on_their_page(self, sign_in, guardian, sent, player, camp):
        client = sign_in(guardian)
        assert "12 months" in client.get(reverse("join_who", args=[camp.invite_token])).text
        assert "October 20, 2027" in client.get(reverse("player", args=[player.pk])).text
        assert "October 20, 2027" in client.get(reverse("family")).text
