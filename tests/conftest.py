"""What every test stands on: fast passwords, unhashed static addresses, media in the run's own folder."""

from __future__ import annotations

import gc
import os
import socket
from pathlib import Path
from typing import Any

import hypothesis
import pytest
import pytest_rerunfailures

from tests import migrated, order, servers, shares
from tests.services import HOME

ROOT = Path(__file__).resolve().parent.parent


def pytest_configure() -> None:
    """Change the settings that would only cost tests time. Runs before Django's storages and hashers are first used."""
    from django.conf import settings

    from tests.emptying import empty_quickly

    empty_quickly()
    pytest_rerunfailures.SocketDB._sock_recv = _word
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    # Hashed names need a collectstatic; tests of real pages in a browser do one themselves (tests/browser).
    settings.STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    # Every client of a test looks through them anew: what is collected for the browser would make its requests five times as long.
    settings.STATIC_ROOT = settings.DATA_DIR / "no-static"
    Path(settings.STATIC_ROOT).mkdir(parents=True, exist_ok=True)
    gc.set_threshold(50_000, 20, 20)
    # On a busy machine drawing an example takes long; that says nothing of the code.
    calm = hypothesis.settings(deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow])
    hypothesis.settings.register_profile("calm", calm)
    hypothesis.settings.load_profile("calm")
    # Other tests run beside those that wait for a film to be measured; on a machine of its own it steps back.
    settings.MEASURE_NICENESS = 0
    os.environ["MEASURE_NICENESS"] = "0"  # of the processes that tests start


def _word(self: Any, connection: socket.socket) -> str:
    """A worker's next word about a second go. One that died says nothing more; the package would ask it for ever, with a core and the
    whole run's turn to itself, so that one dead worker held up all others for as long as anybody waited.
    """
    word = b""
    while (byte := connection.recv(1)) != self.delim:
        if not byte:
            raise ConnectionError("the worker is gone")
        word += byte
    return word.decode()


def pytest_xdist_auto_num_workers() -> int:
    """One more than there are cores: tests of slow lines, of browsers and of processes mostly wait."""
    return len(os.sched_getaffinity(0)) + 1


def pytest_collection(session: pytest.Session) -> None:
    """After a fresh clone no test module is compiled: each worker begins with a share of its own, and finds the others' done."""
    worker = getattr(session.config, "workerinput", None)
    if worker and session.config.args == session.config.getini("testpaths"):
        left_out = tuple(os.fspath(ROOT / name) for name in session.config.getoption("ignore") or [])
        shares.import_own(worker["workerid"], worker["workercount"], left_out)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    order.longest_first(items)


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: looking through it for garbage again and again took a sixth of the time."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def root() -> Path:
    """The project's folder."""
    return ROOT


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix: None, django_db_blocker: Any) -> None:
    """Start PostgreSQL at the first test that needs a database, and migrate once for all workers.

    SQLite lies in a file, so that other processes see it. Stands here, not in the plugin, because a conftest's fixture takes
    precedence over pytest-django's own.
    """
    from django.conf import settings

    database: dict[str, Any] = settings.DATABASES["default"]
    if database["ENGINE"].endswith("postgresql"):
        servers.start_postgres(Path(os.environ[HOME]))
        with django_db_blocker.unblock():
            migrated.once(Path(os.environ[HOME]))
        database["TEST"]["TEMPLATE"] = migrated.NAME
    else:
        database["TEST"]["NAME"] = str(settings.DATA_DIR / "test.sqlite3")
