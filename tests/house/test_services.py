"""The tests' own servers: real ones, reachable by other processes, and gone afterwards."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path

import pytest
import pytest_rerunfailures
import redis

from tests.servers import wait_until


@pytest.mark.django_db
def test_database_is_a_real_postgres_unless_sqlite_was_asked_for(request: pytest.FixtureRequest):
    from django.db import connection

    wanted = "sqlite" if request.config.getoption("--sqlite") else "postgresql"
    assert connection.vendor == wanted
    with connection.cursor() as cursor:
        cursor.execute("select 6 * 7")
        assert cursor.fetchone() == (42,)


def test_redis_starts_empty_and_keeps_what_it_is_given(redis_url: str):
    with redis.Redis.from_url(redis_url) as client:
        assert client.dbsize() == 0
        client.set("swing", "1")
        assert client.get("swing") == b"1"


def test_another_process_sees_the_rows_of_this_test(process_env: dict[str, str], root: Path):
    from portal.people.models import User

    User.objects.create(email="rosa@example.org")
    ask = "from portal.people.models import User; print(User.objects.get().email)"
    command = [sys.executable, "manage.py", "shell", "-v", "0", "-c", ask]
    told = subprocess.run(command, cwd=root, env=process_env, capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "rosa@example.org"


def test_data_folder_is_not_the_one_of_the_working_copy(root: Path):
    assert not Path(os.environ["DATA_DIR"]).is_relative_to(root)


@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL], ids=lambda how: how.name)
def test_a_run_leaves_no_server_and_no_folder_behind(root: Path, tmp_path: Path, how: signal.Signals):
    """An inner run is ended in the middle of a test: by Ctrl-C, by a polite stop, and by kill -9."""
    inner = tmp_path / "test_inner.py"
    inner.write_text(
        "import os, pathlib, time\n"
        "from tests import servers\n"
        "def test_waits():\n"
        "    servers.start_postgres(pathlib.Path(os.environ['CAGENOTE_TESTS_HOME']))\n"
        "    print('HOME', os.environ['CAGENOTE_TESTS_HOME'], flush=True)\n"
        "    time.sleep(60)\n"
    )
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("PYTEST_", "CAGENOTE_TESTS"))}
    command = [sys.executable, "-m", "pytest", "-q", "-s", "-p", "no:cacheprovider", "-c", "pyproject.toml", str(inner)]
    run = subprocess.Popen(
        command, cwd=root, env=environment, stdout=subprocess.PIPE, text=True, start_new_session=True
    )
    home = next(Path(line.split("HOME ")[1].strip()) for line in run.stdout if "HOME" in line)
    assert (home / "postgres" / "postmaster.pid").exists()
    run.send_signal(how)
    run.communicate(timeout=120)
    assert wait_until(lambda: not home.exists(), 30)


def test_the_line_of_a_worker_that_died_ends():
    """Else the run's first process asks it for ever, and no worker gets its next test."""
    server = pytest_rerunfailures.ServerStatusDB.__new__(pytest_rerunfailures.ServerStatusDB)
    server.delim = b"\n"
    ours, workers = socket.socketpair()
    listening = threading.Thread(target=server.run_connection, args=(ours,), daemon=True)
    listening.start()
    workers.send(b"half a w")
    workers.close()
    listening.join(timeout=30)
    assert not listening.is_alive()
