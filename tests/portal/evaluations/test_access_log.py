"""The log of who saw what: each look once an hour, no look without its row."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest
from django.db import DatabaseError, connection
from django.urls import reverse
from django.utils import timezone

from portal.evaluations import access_log
from portal.evaluations.models import AccessLogEntry, What
from portal.intake.models import Submission
from portal.intake.states import State

NOON = datetime(2026, 11, 12, 12, 0, tzinfo=UTC)


def look(user, submission, minutes=0.0, what=What.FILM):
    access_log.note(user, submission.player, what, submission, at=NOON + timedelta(minutes=minutes))


@pytest.fixture
def sent(submission):
    return submission(State.READY)


@pytest.mark.parametrize("start", [0, 1, 29, 30, 31, 59, 59.9])
def test_looks_within_an_hour_are_one(coach, sent, start):
    for minutes in (0, 0.01, 1, 29, 31, 59, 59.99):
        look(coach, sent, start + minutes)
    assert AccessLogEntry.objects.get().at == NOON + timedelta(minutes=start)


def test_after_an_hour_it_is_another_look(coach, sent):
    for minutes in (0, 30, 60, 90, 120.5):
        look(coach, sent, minutes)
    assert [entry.at.hour for entry in AccessLogEntry.objects.order_by("at")] == [12, 13, 14]


def test_each_person_thing_and_kind_is_a_look_of_its_own(coach, owner, sent, submission):
    look(coach, sent)
    look(owner, sent)
    look(coach, sent, what=What.NUMBERS)
    look(coach, submission(State.READY))
    access_log.note(coach, sent.player, What.PLAYER, at=NOON)
    assert AccessLogEntry.objects.count() == 5


def test_it_says_what_they_were_to_the_child(coach, other_coach, owner, guardian, player_user, sent):
    for user in (coach, owner, guardian, player_user):
        look(user, sent)
    assert dict(AccessLogEntry.objects.values_list("user__name", "seen_as")) == {
        "Maren Oduya": "coach", "Oda Verne": "owner", "Lea Sandvall": "family", "Ida Sandvall": "family",
    }  # fmt: skip


def test_a_look_stays_when_the_coachs_account_goes(coach, sent):
    look(coach, sent)
    sent.camp.coaches.clear()
    coach.delete()
    entry = AccessLogEntry.objects.get()
    assert (entry.user, entry.who, entry.seen_as) == (None, "Maren Oduya", "coach")


def test_a_look_goes_with_the_child(coach, sent):
    look(coach, sent)
    sent.player.delete()
    assert not AccessLogEntry.objects.exists()


def test_thirty_more_looks_write_nothing(coach, sent, django_assert_num_queries):
    look(coach, sent)
    with django_assert_num_queries(30):
        for second in range(30):
            look(coach, sent, second / 60)


@pytest.mark.django_db(transaction=True)
def test_thirty_stills_asked_for_at_once_are_one_look(coach, sent):
    def ask(_number):
        try:
            access_log.note(coach, sent.player, What.FRAMES, sent)
        finally:
            connection.close()

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(ask, range(30)))
    assert AccessLogEntry.objects.count() == 1


class TestWhenItCannotBeWritten:
    @pytest.fixture(autouse=True)
    def read_only(self, sent, monkeypatch):
        def refuse(*_rows, **_options):
            raise DatabaseError("attempt to write a readonly database")

        monkeypatch.setattr(AccessLogEntry.objects, "bulk_create", refuse)
        self.url = reverse("submission", args=[sent.pk])

    def test_nothing_is_shown_and_the_reader_is_asked_to_come_again(self, sign_in, coach):
        answer = sign_in(coach).get(self.url)
        assert (answer.status_code, answer["Retry-After"]) == (503, "5")
        assert "Ida" not in answer.text
        assert "load the page again" in answer.text

    def test_the_family_sees_its_own(self, sign_in, guardian):
        assert "Ida" in sign_in(guardian).get(self.url).text

    def test_who_was_noted_before_goes_on(self, sign_in, coach, sent, monkeypatch):
        monkeypatch.undo()
        client = sign_in(coach)
        client.get(self.url)
        monkeypatch.setattr(AccessLogEntry.objects, "bulk_create", None)
        assert client.get(self.url).status_code == 200


def test_the_log_survives_a_withdrawal(coach, sent):
    from portal.intake import erase

    look(coach, sent)
    erase.withdraw(Submission.objects.get(pk=sent.pk))
    assert AccessLogEntry.objects.filter(at__lt=timezone.now()).count() == 1
