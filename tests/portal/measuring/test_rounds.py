"""Many old clips are read again some at a time, behind fresh ones; what is lost on the way is missed by the sweep."""

import time

import pytest
import redis
from django.core.management import call_command

from portal.intake.states import State
from portal.measuring import door, queue, rereading, rounds, sweeping
from portal.measuring.models import NO_ROOM, Measurement, Retry, Stage
from portal.measuring.tasks import read_some_again
from tests.portal.conftest import make_measured_clip
from tests.portal.intake.tus.live import WORKER, Nest, Process
from tests.portal.measuring.conftest import make_waiting_clip
from tests.servers import wait_until

pytestmark = [pytest.mark.django_db, pytest.mark.slow]


@pytest.fixture(autouse=True)
def long_round(monkeypatch):
    """A round in which even a busy machine reads some clips; tests of its end make it short."""
    monkeypatch.setattr(rounds, "ROUND_S", 60.0)


@pytest.fixture
def sent(monkeypatch):
    """How many rounds were asked for; nothing waits in the queue."""
    asked = []
    monkeypatch.setattr(queue, "send_reading_again", lambda: asked.append(1))
    monkeypatch.setattr(queue, "length", lambda name: 0)
    return asked


@pytest.fixture
def old_clips(submission, products, put_tracks):
    """`old_clips(3)` makes clips that no version is known of."""

    def make(count):
        clips = [make_measured_clip(submission(State.PUBLISHED), products) for _ in range(count)]
        for clip in clips:
            put_tracks(clip, "r23_left_pitcher_side")
        Measurement.objects.update(read_method=0, read_book=0)
        return clips

    return make


@pytest.fixture
def run(django_capture_on_commit_callbacks):
    """Call something, with what follows its commit."""

    def call(what):
        with django_capture_on_commit_callbacks(execute=True):
            return what()

    return call


def left():
    return rereading.waiting().count()


def test_a_round_reads_what_it_can_and_asks_for_no_other(old_clips, sent, run):
    old_clips(3)
    assert run(rounds.read_some) == 3
    assert (left(), sent) == (0, [])


def test_the_next_round_is_asked_for_where_clips_are_left(old_clips, sent, run, monkeypatch):
    monkeypatch.setattr(rounds, "ROUND_S", 0.0)
    old_clips(3)
    assert run(rounds.read_some) == 1
    assert (left(), sent) == (2, [1])


def test_a_fresh_clip_goes_first_and_one_old_clip_is_read_all_the_same(old_clips, sent, run, submission):
    old_clips(3)
    make_waiting_clip(submission(State.RECEIVED))
    assert run(rounds.read_some) == 1
    assert left() == 2


def test_a_clip_that_waits_for_room_holds_up_nobody(old_clips, sent, run, submission):
    old_clips(2)
    make_waiting_clip(submission(State.RECEIVED))
    Measurement.objects.filter(stage=Stage.WAITING).update(failure_code=NO_ROOM)
    assert run(rounds.read_some) == 2


def test_what_is_on_a_desk_is_read_first(old_clips, sent, run, monkeypatch):
    monkeypatch.setattr(rounds, "ROUND_S", 0.0)
    clips = old_clips(3)
    type(clips[0].submission).objects.filter(pk=clips[0].submission_id).update(state=State.IN_REVIEW)
    run(rounds.read_some)
    assert Measurement.objects.get(read_method=door.METHOD).clip == clips[0]


def test_one_that_fails_holds_up_nobody(old_clips, sent, run, monkeypatch):
    clips = old_clips(2)
    real = door.read_again

    def fails_on_the_newest(measurement, said):
        if measurement.clip == clips[1]:
            raise ArithmeticError
        return real(measurement, said)

    monkeypatch.setattr(door, "read_again", fails_on_the_newest)
    for _ in range(3):
        run(rounds.read_some)
    assert left() == 0
    assert Retry.objects.get().trouble == "failed"


def test_the_sweep_asks_once(old_clips, sent, run):
    old_clips(1)
    assert [run(sweeping.sweep) for _ in range(2)] == [1, 0]
    assert sent == [1]


def test_the_sweep_asks_for_nothing_where_all_is_read(measured_clip, sent, run):
    assert (run(sweeping.sweep), sent) == (0, [])


def test_a_message_that_was_lost_is_sent_again(old_clips, sent, run, settings, monkeypatch):
    settings.MEASURE_STALE_S = 2
    old_clips(1)
    run(sweeping.sweep)
    time.sleep(2.1)
    assert (run(sweeping.sweep), sent) == (1, [1, 1])


def test_behind_a_long_queue_it_is_given_more_time(old_clips, sent, run, settings, monkeypatch):
    settings.MEASURE_STALE_S = 1
    monkeypatch.setattr(queue, "length", lambda name: 5)
    old_clips(1)
    run(sweeping.sweep)
    time.sleep(1.1)
    assert (run(sweeping.sweep), sent) == (0, [1])


def test_a_queue_that_is_down_loses_nothing(old_clips, run, monkeypatch):
    """The round ends in order, and the next sweep asks again."""
    monkeypatch.setattr(rounds, "ROUND_S", 0.0)
    old_clips(2)

    def down(name):
        raise redis.ConnectionError

    with monkeypatch.context() as patch:
        patch.setattr(queue, "length", down)
        assert run(rounds.read_some) == 1
    asked = []
    monkeypatch.setattr(queue, "length", lambda name: 0)
    monkeypatch.setattr(queue, "send_reading_again", lambda: asked.append(1))
    assert (run(sweeping.sweep), asked) == (1, [1])


def test_the_message_goes_to_those_who_measure(settings):
    assert settings.CELERY_TASK_ROUTES[read_some_again.name] == {"queue": queue.MEASURING}


def test_the_command_reads_them_here_and_now(old_clips, capsys):
    clips = old_clips(3)
    Measurement.objects.filter(clip=clips[0]).update(tracks="")
    call_command("read_again", "--count")
    assert "3 left to be read again" in capsys.readouterr().out
    call_command("read_again")
    said = capsys.readouterr().out
    assert "0 left to be read again, 1 stay as they were read" in said
    assert f"{clips[0].pk}: read by method 0, book 0; its track is not kept" in said
    assert left() == 0


def test_the_command_tries_once_more_what_was_given_up(old_clips, capsys, monkeypatch):
    old_clips(1)
    with monkeypatch.context() as patch:
        patch.setattr(door, "read_again", lambda *_: 1 / 0)
        call_command("read_again")
    assert "1 stay as they were read" in capsys.readouterr().out
    call_command("read_again")
    assert "0 stay as they were read" in capsys.readouterr().out


def test_the_command_reads_everything_when_asked(measured_clip, put_tracks, capsys):
    held = put_tracks(measured_clip, "r23_left_pitcher_side")
    call_command("read_again")
    assert "1 of 1" not in capsys.readouterr().out
    call_command("read_again", "--everything")
    assert "1 of 1: read" in capsys.readouterr().out
    held.refresh_from_db()
    assert held.read_method == door.METHOD


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_a_worker_killed_in_the_middle_goes_on_with_the_rest(old_clips, process_env, redis_url, settings, tmp_path):
    """kill -9 with power-loss manners, thrice: each clip is read in the end, and no attempt is left over."""
    settings.MEASURE_STALE_S = 2
    settings.CACHES = {"default": {"BACKEND": "portal.cache.Cache", "LOCATION": redis_url}}  # the worker's, too
    old_clips(30)
    nest = Nest({**process_env, "MEASURE_STALE_S": "2", "DATA_DIR": str(tmp_path / "data"), "LOG_LEVEL": "WARNING"})
    started = []
    try:
        for kill_at in (25, 15, 5):
            started.append(Process(nest, WORKER, tmp_path / f"worker{kill_at}.log"))
            assert sweep_until(lambda n=kill_at: left() <= n)
            started[-1].kill()
        started.append(Process(nest, WORKER, tmp_path / "last.log"))
        assert sweep_until(lambda: left() == 0)
    finally:
        for process in started:
            process.kill()
        nest.close()
    assert not Retry.objects.exists()
    assert set(Measurement.objects.values_list("read_method", flat=True)) == {door.METHOD}


def sweep_until(done, seconds=90.0):
    def step():
        sweeping.sweep()
        time.sleep(0.1)
        return done()

    return wait_until(step, seconds)
