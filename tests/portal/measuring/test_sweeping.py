"""Lost work is found again, each piece once."""

from datetime import timedelta

import pytest
from django.utils import timezone

from portal.intake.states import State
from portal.measuring import claims, queue, sweeping
from portal.measuring.models import Measurement, Stage

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def sent(monkeypatch):
    ids = []
    monkeypatch.setattr(queue, "send", ids.append)
    return ids


@pytest.fixture
def queue_length(monkeypatch):
    """How many messages the queue is said to hold."""
    holder = {"length": 0}
    monkeypatch.setattr(queue, "length", lambda name: holder["length"])
    return holder


@pytest.fixture
def sweep(queue_length, django_capture_on_commit_callbacks):
    def run() -> int:
        with django_capture_on_commit_callbacks(execute=True):
            return sweeping.sweep()

    return run


def age(clip, seconds, **columns):
    when = timezone.now() - timedelta(seconds=seconds)
    Measurement.objects.filter(clip=clip).update(**dict.fromkeys(columns or {"queued_at": 0}, when))


def test_a_silent_worker_loses_its_claim_once(waiting_clip, sweep, sent, settings):
    old = claims.take(waiting_clip.pk)
    age(waiting_clip, settings.MEASURE_STALE_S + 1, seen_at=1)
    assert (sweep(), sweep()) == (1, 0)
    assert sent == [waiting_clip.pk]
    with pytest.raises(claims.ClaimLost):
        claims.note(old, done=1)


def test_a_worker_that_gives_signs_of_life_keeps_its_claim(waiting_clip, sweep, sent, settings):
    claims.take(waiting_clip.pk)
    age(waiting_clip, settings.MEASURE_STALE_S - 5, seen_at=1)
    assert (sweep(), sent) == (0, [])


def test_a_worker_that_died_three_times_ends_it_visibly(waiting_clip, sweep, settings):
    for _ in range(3):
        claims.take(waiting_clip.pk)
        age(waiting_clip, settings.MEASURE_STALE_S + 1, seen_at=1)
        assert sweep() == 1
    held = Measurement.objects.get(clip=waiting_clip)
    assert (held.stage, held.failure_code) == (Stage.FAILED, "stopped")


def test_a_lost_message_is_sent_again_once(waiting_clip, sweep, sent, settings):
    age(waiting_clip, settings.MEASURE_STALE_S + 1)
    assert (sweep(), sweep()) == (1, 0)
    assert sent == [waiting_clip.pk]


def test_a_clip_behind_others_is_left_in_the_queue(waiting_clip, sweep, sent, settings, queue_length):
    queue_length["length"] = 4
    age(waiting_clip, settings.MEASURE_STALE_S + 1)
    assert (sweep(), sent) == (0, [])
    age(waiting_clip, sweeping.LONG_QUEUE.total_seconds() + 1)
    assert sweep() == 1


def test_a_withdrawn_clip_is_left_alone(waiting_clip, sweep, sent):
    age(waiting_clip, 3600)
    waiting_clip.submission.move(State.WITHDRAWN)
    assert (sweep(), sent) == (0, [])


def test_a_clip_that_was_never_queued_is(waiting_clip, sweep, sent):
    Measurement.objects.all().delete()
    type(waiting_clip).objects.update(created_at=timezone.now() - timedelta(hours=1))
    assert (sweep(), sent) == (1, [waiting_clip.pk])
    assert Measurement.objects.get(clip=waiting_clip).stage == Stage.WAITING


def test_a_clip_still_on_its_way_is_not_queued(submission, sweep, sent):
    from tests.portal.conftest import make_clip

    clip = make_clip(submission(State.UPLOADING))
    type(clip).objects.update(created_at=timezone.now() - timedelta(hours=1))
    assert (sweep(), sent) == (0, [])
