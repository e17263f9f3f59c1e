"""A worker killed in the middle loses nothing: real Celery workers, the real queue and database, and `kill -9`.

The worker is killed at each stage of the stand-in for the analysis, with all it started; a second worker and the sweep
come, and in the end the clip is measured, once.
"""

import os
import signal
import time
from pathlib import Path

import pytest
from django.core.files.storage import default_storage

from portal.intake.states import State
from portal.measuring import queue, sweeping
from portal.measuring.models import Measurement, Stage
from tests.portal.intake.tus.live import WORKER, Nest, Process
from tests.portal.measuring.conftest import runs
from tests.portal.measuring.test_runner import is_running
from tests.servers import wait_until

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
STALE_S = 2


@pytest.fixture
def start_worker(process_env, redis_url, fake, settings, tmp_path):
    """Start a real worker, all of them from one nest; every one still running is ended after the test."""
    settings.MEASURE_STALE_S = STALE_S
    started: list[Process] = []
    nest = Nest({
        **process_env,
        "MEASURE_STALE_S": str(STALE_S),
        "ANALYSIS_COMMAND": " ".join(settings.ANALYSIS_COMMAND),
        "CAGENOTE_FAKE": str(fake),
        "DATA_DIR": str(tmp_path / "data"),
        "LOG_LEVEL": "WARNING",
    })  # fmt: skip

    def start() -> Process:
        started.append(Process(nest, WORKER, tmp_path / f"worker{len(started)}.log"))
        return started[-1]

    yield start
    for process in started:
        process.kill()
    nest.close()


def row() -> Measurement:
    return Measurement.objects.get()


def sweep_until(done, seconds=60.0) -> bool:
    def step() -> bool:
        sweeping.sweep()
        time.sleep(0.2)
        return done()

    return wait_until(step, seconds)


def assert_measured_once(clip, fake: Path, attempts: int) -> None:
    held = row()
    assert (held.stage, held.attempt, runs(fake)) == (Stage.DONE, attempts, attempts)
    assert [f"{clip.folder}/{name}" for name in default_storage.listdir(clip.folder)[0]] == [held.products]
    assert default_storage.exists(f"{held.products}/review.mp4")
    clip.submission.refresh_from_db()
    assert clip.submission.state == State.READY


@pytest.mark.parametrize("stages", [("opening", "finding"), ("watching", "reading"), ("copying",)])
def test_a_worker_killed_in_any_stage_loses_nothing(stages, start_worker, waiting_clip, fake):
    queue.send(waiting_clip.pk)
    for stage in stages:
        (fake / f"halt-{stage}").touch()
        worker = start_worker()
        assert sweep_until((fake / "halted").exists)
        assert wait_until(lambda stage=stage: row().stage == stage, 5)
        analysis = int((fake / "halted").read_text())
        worker.kill()  # with its children, as when a machine loses power
        assert wait_until(lambda pid=analysis: not is_running(pid), 5), "what the worker started outlived it"
        (fake / "halted").unlink()
    start_worker()
    assert sweep_until(lambda: row().stage == Stage.DONE)
    assert_measured_once(waiting_clip, fake, attempts=len(stages) + 1)


def test_a_worker_asked_to_stop_gives_its_clip_back_at_once(start_worker, waiting_clip, fake):
    """SIGQUIT, as at every restart: no attempt is lost and nobody waits for the sweep."""
    (fake / "halt-watching").touch()
    queue.send(waiting_clip.pk)
    first = start_worker()
    assert wait_until((fake / "halted").exists, 60)
    os.kill(first.pid, signal.SIGQUIT)
    assert wait_until(lambda: not is_running(first.pid), 40)
    assert (row().stage, row().attempt) == (Stage.WAITING, 0)
    start_worker()
    assert wait_until(lambda: row().stage == Stage.DONE, 60)
    assert_measured_once_after_stop(waiting_clip, fake)


def assert_measured_once_after_stop(clip, fake: Path) -> None:
    assert (row().attempt, runs(fake)) == (1, 2)
    assert len(default_storage.listdir(clip.folder)[0]) == 1


def test_two_workers_and_many_messages_measure_it_once(start_worker, waiting_clip, fake):
    for _ in range(6):
        queue.send(waiting_clip.pk)
    start_worker()
    start_worker()
    assert wait_until(lambda: row().stage == Stage.DONE, 60)
    assert wait_until(lambda: queue.length(queue.MEASURING) == 0, 20)
    assert_measured_once(waiting_clip, fake, attempts=1)


def test_a_message_that_never_arrived_is_found(start_worker, waiting_clip, fake):
    start_worker()
    assert sweep_until(lambda: row().stage == Stage.DONE)
    assert_measured_once(waiting_clip, fake, attempts=1)
