"""The pytest plugin that gives every run its own database, queue and data folder (named in pyproject.toml's addopts).

It works before Django reads its settings: DATABASE_URL, REDIS_URL and DATA_DIR are in the environment by then, so that
the settings and every process a test starts meet the same servers. `--sqlite` takes the embedded database instead.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import servers

ROOT = Path(__file__).resolve().parent.parent
HOME = "CAGENOTE_TESTS_HOME"
_keeper: subprocess.Popen[bytes] | None = None


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--sqlite", action="store_true", help="test on the embedded SQLite instead of PostgreSQL")
    parser.addoption("--second-go", action="store_true", help="a browser test that failed is run once more, and told")
    parser.addoption("--shots", action="store_true", help="keep pictures of pages in tests/browser/shots/")
    parser.addoption("--pictures", action="store_true", help="renew the pictures that README.md shows")


@pytest.hookimpl(wrapper=True)
def pytest_load_initial_conftests(early_config: pytest.Config) -> Iterator[None]:
    """Prepare the environment; being a wrapper, this runs before pytest-django loads the settings."""
    worker = os.environ.get("PYTEST_XDIST_WORKER")
    if worker is None:
        _start_run(sqlite=early_config.known_args_namespace.sqlite)
    else:
        _join_run(int(worker.removeprefix("gw")))
    yield


def _start_run(*, sqlite: bool) -> None:
    global _keeper
    home = Path(tempfile.mkdtemp(prefix="cagenote-tests-"))
    redis, redis_url = servers.start_redis(home)
    command = [sys.executable, "-m", "tests.keeper", str(home), str(redis.pid)]
    _keeper = subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, start_new_session=True)
    signal.signal(
        signal.SIGTERM, signal.default_int_handler
    )  # ends a run as Ctrl-C does: tests tidy up after themselves
    os.environ[HOME] = str(home)
    runtime = home / "runtime"  # where PostgreSQL's package keeps its lock: the user's alone, or it is not taken
    runtime.mkdir(mode=0o700)
    os.environ.setdefault("XDG_RUNTIME_DIR", str(runtime))
    os.environ["REDIS_URL"] = redis_url
    os.environ["DATABASE_URL"] = "" if sqlite else servers.postgres_url(home)
    os.environ["SECRET_KEY"] = "only-for-tests-" + "x" * 50
    for name in ("SITE_URL", "ALLOWED_HOSTS", "DEBUG", "EMAIL_URL", "MEDIA_ROOT", "TRUSTED_PROXIES", "MEDIA_ACCEL"):
        os.environ.pop(name, None)
    _own_folder("main")


def _join_run(number: int) -> None:
    """A parallel worker shares the servers, with a Redis database and a data folder to itself."""
    os.environ["REDIS_URL"] = os.environ["REDIS_URL"].rsplit("/", 1)[0] + f"/{number + 1}"
    _own_folder(f"worker{number}")


def _own_folder(name: str) -> None:
    folder = Path(os.environ[HOME]) / name
    folder.mkdir(exist_ok=True)
    os.environ["DATA_DIR"] = str(folder)


@pytest.hookimpl(trylast=True)
def pytest_unconfigure() -> None:
    """Let the keeper end the servers, and wait for it. (It also sees the end of a run that never gets here.)"""
    global _keeper
    if _keeper is not None and _keeper.stdin is not None:
        _keeper.stdin.close()
        _keeper.wait(2 * servers.STOP_SECONDS)
        _keeper = None


@pytest.fixture
def redis_url() -> Iterator[str]:
    """The address of the run's Redis, emptied before and after the test."""
    import redis

    with redis.Redis.from_url(os.environ["REDIS_URL"]) as client:
        client.flushdb()
        yield os.environ["REDIS_URL"]
        client.flushdb()


@pytest.fixture
def process_env(transactional_db: None) -> dict[str, str]:
    """The environment with which another process of the portal meets this test's database, queue and files.

    A transaction is invisible from outside, so this asks for pytest-django's transactional database.
    """
    from django.conf import settings
    from django.db import connection

    name = str(connection.settings_dict["NAME"])
    postgres = connection.vendor == "postgresql"
    return {
        **os.environ,
        "DATABASE_URL": servers.postgres_url(Path(os.environ[HOME]), name) if postgres else f"sqlite:///{name}",
        "MEDIA_ROOT": str(settings.MEDIA_ROOT),
    }
