"""Only one `manage.py run` on the same data."""

from __future__ import annotations

import os
import signal
import subprocess
import sys

import pytest
from django.core.management.base import CommandError

from portal.health import run_lock
from tests.servers import free_port

HOLD = """
import django
django.setup()
from portal.health import run_lock
held = run_lock.take()
print("held", flush=True)
import time; time.sleep(60)
"""


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def test_the_second_is_refused_and_told_of_the_first():
    held = run_lock.take()
    with pytest.raises(CommandError, match=rf"runs already on the data in .* \(process {os.getpid()}\)"):
        run_lock.take()
    held.close()
    run_lock.take().close()


@pytest.mark.slow
def test_a_killed_one_lets_go_and_a_living_one_keeps_the_command_out(root, tmp_path):
    environment = {**os.environ, "DATA_DIR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "portal.settings"}
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD], cwd=root, env=environment, stdout=subprocess.PIPE, text=True
    )
    assert process.stdout.readline().strip() == "held"
    command = [sys.executable, "manage.py", "run", "--port", str(free_port())]
    second = subprocess.run(command, cwd=root, env=environment, capture_output=True, text=True, timeout=120)
    assert second.returncode == 1
    assert f"Cagenote runs already on the data in {tmp_path} (process {process.pid})" in second.stderr
    assert "Traceback" not in second.stderr
    process.send_signal(signal.SIGKILL)
    process.wait()
    run_lock.take().close()
