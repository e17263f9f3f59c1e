"""What was sent lighter as a whole, carried over to each of its clips."""

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

BEFORE = [("desk", "0014_lighter"), ("intake", "0010_queue_due")]
AFTER = [("desk", "0015_lighter_clips")]


@pytest.fixture
def moved_back(transactional_db):
    """The models as they were; the newest again afterwards."""
    executor = MigrationExecutor(connection)
    newest = executor.loader.graph.leaf_nodes()
    executor.migrate(BEFORE)
    yield executor.loader.project_state(BEFORE).apps
    MigrationExecutor(connection).migrate(newest)


@pytest.mark.slow
def test_a_review_sent_lighter_sends_each_of_its_clips_so_and_the_way_back(moved_back):
    make = lambda app, model, **fields: moved_back.get_model(app, model).objects.create(**fields)  # noqa: E731
    player = make("people", "Player", first_name="Ida", birth_year=2015)
    camp = make("camps", "Camp", name="Lindholt fall camp", turnaround_days=7)
    clips = {}
    for is_lighter in (True, False):
        submission = make("intake", "Submission", player=player, camp=camp, state="in_review")
        make("desk", "Review", submission=submission, lighter=is_lighter)
        for number in (1, 2):
            clip = make("intake", "Clip", submission=submission, sha256=f"{is_lighter}{number}")
            clips.setdefault(is_lighter, set()).add(str(clip.pk))

    executor = MigrationExecutor(connection)
    executor.migrate(AFTER)
    Review = executor.loader.project_state(AFTER).apps.get_model("desk", "Review")
    sent = sorted((set(ids) for ids in Review.objects.values_list("lighter_clips", flat=True)), key=len)
    assert sent == [set(), clips[True]]

    executor = MigrationExecutor(connection)
    executor.migrate(BEFORE)
    Review = executor.loader.project_state(BEFORE).apps.get_model("desk", "Review")
    assert sorted(Review.objects.values_list("lighter", flat=True)) == [False, True]
