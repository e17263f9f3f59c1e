"""The folders in which workers measure: cleared when their worker is gone, never before."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from uuid import uuid4

import pytest

from portal.intake import erase
from portal.measuring import workplaces

HOLD = """
import os, sys, time, django
django.setup()
from uuid import UUID
from portal.measuring.workplaces import workplace
with workplace(UUID(sys.argv[1])) as place:
    print(place, flush=True)
    time.sleep(60)
"""


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def test_one_in_use_stays_and_goes_at_its_end():
    with workplaces.workplace(uuid4()) as place:
        assert workplaces.clear() == 0
        assert place.is_dir()
    assert not place.exists()


@pytest.mark.slow
def test_one_of_a_killed_worker_is_cleared_at_once(root, tmp_path):
    environment = {**os.environ, "DATA_DIR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "portal.settings"}
    command = [sys.executable, "-c", HOLD, str(uuid4())]
    process = subprocess.Popen(command, cwd=root, env=environment, stdout=subprocess.PIPE, text=True)
    assert process.stdout.readline().strip()
    assert workplaces.clear() == 0
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert workplaces.clear() == 1
    assert list(workplaces.root().iterdir()) == []


def test_one_that_was_only_just_made_is_left_alone_and_an_older_one_without_a_lock_is_not():
    new, old = workplaces.root() / "new", workplaces.root() / "old"
    for place in (new, old):
        place.mkdir(parents=True)
    past = time.time() - 60
    os.utime(old, (past, past))
    workplaces.clear()
    assert [path.name for path in workplaces.root().iterdir()] == ["new"]


def test_withdrawing_finds_what_a_killed_worker_left_of_the_clip(submission, db, django_capture_on_commit_callbacks):
    from tests.portal.conftest import make_clip

    clip = make_clip(submission("ready"))
    left = workplaces.root() / f"{clip.pk}-abc"
    left.mkdir(parents=True)
    (left / workplaces.LOCK).touch()
    (left / "review.mp4").write_bytes(b"a child swings")
    with django_capture_on_commit_callbacks(execute=True):
        erase.withdraw(clip.submission)
    assert not left.exists()
