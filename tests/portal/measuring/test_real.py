"""The real analysis behind the real worker: a rendered film is measured though its worker is killed, and bad files are told why."""

import json
import os
import signal
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest
from django.core.files.storage import default_storage

from portal.intake.models import Clip
from portal.intake.states import State
from portal.measuring import door, products, queue, work
from portal.measuring.models import Measurement, Stage
from tests.films.numbered import write_clip
from tests.films.shortened import OUT, ROWAN, shortened
from tests.portal.measuring.conftest import make_waiting_clip
from tests.portal.measuring.test_kill import row, sweep_until
from tests.servers import wait_until

pytestmark = [pytest.mark.slow, pytest.mark.films, pytest.mark.django_db(transaction=True)]


@pytest.fixture(autouse=True)
def own_data_folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"


def kill(worker: subprocess.Popen) -> None:
    """`kill -9` of the worker and its children, as when a machine loses power."""
    with suppress(ProcessLookupError):
        os.killpg(worker.pid, signal.SIGKILL)
    worker.wait()


def clip_of(submission, body: bytes) -> Clip:
    return make_waiting_clip(submission(State.RECEIVED), body)


def test_a_film_whose_worker_was_killed_is_measured_once(submission, process_env, redis_url, settings, tmp_path):
    settings.MEASURE_STALE_S = 5
    clip = clip_of(submission, shortened(*ROWAN).read_bytes())
    env = {**process_env, "MEASURE_STALE_S": "5", "DATA_DIR": str(tmp_path / "data"), "LOG_LEVEL": "WARNING"}
    command = [
        sys.executable,
        "-m",
        "celery",
        "-A",
        "portal",
        "worker",
        "-c",
        "1",
        "-Q",
        "measuring",
        "--loglevel",
        "warning",
    ]
    queue.send(clip.pk)
    first = subprocess.Popen(command, env=env, start_new_session=True, umask=0o022)
    assert wait_until(lambda: row().stage == Stage.WATCHING and row().done > 0, 120)
    kill(first)
    second = subprocess.Popen(command, env=env, start_new_session=True, umask=0o022)
    try:
        assert sweep_until(lambda: row().stage in (Stage.DONE, Stage.FAILED), 300)
    finally:
        kill(second)
    held = row()
    assert (held.stage, held.attempt, held.failure_words) == (Stage.DONE, 2, "")
    assert_can_be_reviewed(held)
    kept = [*Path(settings.MEDIA_ROOT).rglob("*"), *(tmp_path / "data").rglob("*")]
    assert len(kept) > 10
    assert [path for path in kept if path.lstat().st_mode & 0o077] == []


def assert_can_be_reviewed(held: Measurement) -> None:
    """The reading is near the film's truth, every file is there, and a correction is read."""
    name, first, _last = ROWAN
    truth = json.loads((OUT / f"{name}.json").read_text())["swings"][0]["instants"]["contact"]["frame"] - first
    assert abs(held.result["swings"][0]["instants"]["contact"]["frame"] - truth) <= 2
    names = default_storage.listdir(held.products)[1]
    assert {"review.mp4", "review.samples.json", "stills.json", "poster.jpg", "tracks.npz"} <= set(names)
    assert all(products.is_shown(name) or name == products.TRACKS for name in names)
    moved = door.read_again(held, {"instants": {"0": {"contact": truth + 5}}})
    assert moved["swings"][0]["instants"]["contact"] == {
        **moved["swings"][0]["instants"]["contact"], "frame": truth + 5, "source": "coach",
    }  # fmt: skip


@pytest.fixture
def bad_files(tmp_path):
    whole = tmp_path / "whole.mp4"
    write_clip(whole, frames=60, size=(320, 180))
    return {
        "empty": b"",
        "text": b"Dear coach, here is the clip.\n" * 50,
        "cut": whole.read_bytes()[: whole.stat().st_size // 3],
        "no hitter": whole.read_bytes(),
    }


@pytest.mark.parametrize("kind", ["empty", "text", "cut", "no hitter"])
def test_a_bad_file_is_told_why_and_the_family_what_to_do(kind, bad_files, submission, mailoutbox):
    clip = clip_of(submission, bad_files[kind])
    assert work.measure(clip.pk) == "failed"
    held = row()
    assert (held.stage, held.attempt) == (Stage.FAILED, 1)
    assert held.failure_code not in ("", "stopped", "overtime")
    assert len(held.failure_words) > 30
    assert "Traceback" not in held.failure_words
    assert str(clip.pk) not in held.failure_words, "the sealed name means nothing to a parent"
    clip.submission.refresh_from_db()
    assert clip.submission.state == State.UNREADABLE
    assert any(held.failure_words in email.body for email in mailoutbox)
