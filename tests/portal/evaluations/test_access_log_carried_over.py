"""The log as it was kept by the day, brought into the one by the hour."""

from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, connection
from django.db.migrations.executor import MigrationExecutor
from django.db.transaction import atomic

NAMED = [("evaluations", "0009_access_log_entries")]
BEFORE = [("evaluations", "0003_pdf_attempts"), ("people", "0001_initial"), ("camps", "0002_initial")]
AFTER = [("evaluations", "0006_one_look_an_hour")]
EVENING = datetime(2026, 11, 12, 18, 40, tzinfo=UTC)


@pytest.fixture
def moved_back(transactional_db):
    """The models as they were; the newest again afterwards."""
    executor = MigrationExecutor(connection)
    newest = executor.loader.graph.leaf_nodes()
    executor.migrate(BEFORE)
    yield executor.loader.project_state([*BEFORE, ("intake", "0003_same_file_kept_once")]).apps
    MigrationExecutor(connection).migrate(newest)


@pytest.mark.slow
def test_days_become_hours_and_nothing_is_lost_but_doubles(moved_back):
    make = lambda app, model, **fields: moved_back.get_model(app, model).objects.create(**fields)  # noqa: E731
    coach = make("people", "User", email="maren@example.org", name="Maren Oduya", is_coach=True)
    owner = make("people", "User", email="oda@example.org", is_staff=True)
    guardian = make("people", "User", email="lea@example.org", name="Lea Sandvall")
    player = make("people", "Player", first_name="Ida", birth_year=2015)
    player.guardians.add(guardian)
    camp = make("camps", "Camp", name="Lindholt fall camp", turnaround_days=7)
    camp.coaches.add(coach)
    submission = make("intake", "Submission", player=player, camp=camp, state="ready")
    Sight = moved_back.get_model("evaluations", "Sight")
    rows = [
        (coach, "clip", 12, EVENING),
        (coach, "desk", 12, EVENING),
        (owner, "evaluation", 12, EVENING),
        (guardian, "evaluation", 12, EVENING),
        (coach, "desk", 13, datetime(2026, 11, 13, 23, 59, tzinfo=UTC)),
        (coach, "desk", 14, datetime(2026, 11, 14, 0, 1, tzinfo=UTC)),
    ]
    for user, what, day, at in rows:
        sight = Sight.objects.create(user=user, submission=submission, what=what, day=date(2026, 11, day))
        Sight.objects.filter(pk=sight.pk).update(at=at)

    executor = MigrationExecutor(connection)
    executor.migrate(AFTER)
    Sight = executor.loader.project_state(AFTER).apps.get_model("evaluations", "Sight")
    found = Sight.objects.order_by("at", "what", "seen_as").values_list("what", "seen_as", "name", "at__day")
    assert list(found) == [
        ("draft", "coach", "Maren Oduya", 12),
        ("evaluation", "family", "", 12),
        ("evaluation", "owner", "oda@example.org", 12),
        ("frames", "coach", "Maren Oduya", 12),
        ("draft", "coach", "Maren Oduya", 13),
    ]
    assert set(Sight.objects.values_list("player", "submission", "thing")) == {
        (player.pk, submission.pk, submission.pk)
    }


@pytest.mark.slow
def test_every_entry_is_there_under_the_logs_new_name(moved_back):
    executor = MigrationExecutor(connection)
    executor.migrate(AFTER)
    old = executor.loader.project_state([*AFTER, ("intake", "0003_same_file_kept_once")]).apps
    player = old.get_model("people", "Player").objects.create(first_name="Ida", birth_year=2015)
    coach = old.get_model("people", "User").objects.create(email="maren@example.org", name="Maren Oduya")
    row = {"name": "Maren Oduya", "seen_as": "coach", "what": "film", "at": EVENING, "hour": 7, "half": 8}
    old.get_model("evaluations", "Sight").objects.create(**row, user=coach, player=player, thing=player.pk)

    executor = MigrationExecutor(connection)
    executor.migrate(NAMED)
    entries = executor.loader.project_state(NAMED).apps.get_model("evaluations", "AccessLogEntry").objects
    assert entries.values("user", "thing", *row).get() == {"user": coach.pk, "thing": player.pk, **row}
    again = entries.get()
    again.pk = None
    with pytest.raises(IntegrityError), atomic():  # one an hour still
        again.save(force_insert=True)
