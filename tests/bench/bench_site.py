"""A real site for the benches: an empty data folder, a queue, a family, and the web process as `manage.py run` starts it."""

from __future__ import annotations

import json
import os
import shlex
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests import servers

ROOT = Path(__file__).resolve().parents[2]
# What the embedded set runs, without the supervisor around it. Another server is measured by naming its command.
OURS = f"{sys.executable} -m portal.web --port {{port}}"
LARGEST_MB = 2200


@dataclass(frozen=True)
class BenchSite:
    """A running site: where it listens, what its family's requests carry, its submission, its process and its data folder."""

    port: int
    headers: dict[str, str]
    submission: str
    process: subprocess.Popen[bytes]
    data: Path

    @property
    def resident_mb(self) -> float:
        """Memory of the web process and its children that lies in RAM, files' pages left out."""
        return sum(_anonymous_kb(pid) for pid in _family_of(self.process.pid)) / 1024


@contextmanager
def bench_site(
    command: str = OURS, folder: Path | None = None, lay: Callable[[Path], None] | None = None
) -> Iterator[BenchSite]:
    """Start the site and tidy it away afterwards. `command` has `{port}` where the port goes; `lay` fills the data folder where tables
    and packed files lie at hand."""
    with tempfile.TemporaryDirectory(prefix="cagenote-bench-", dir=folder) as name:
        home = Path(name)
        redis, redis_url = servers.start_redis(home)
        try:
            environment = _environment(home, redis_url)
            if lay is None:
                for words in (["migrate", "--verbosity", "0"], ["collectstatic", "--noinput", "--verbosity", "0"]):
                    subprocess.run([sys.executable, "manage.py", *words], cwd=ROOT, env=environment, check=True)
            else:
                (home / "data").mkdir()
                lay(home / "data")
            told = subprocess.run(
                [sys.executable, "-m", "tests.bench.family"], cwd=ROOT, env=environment, check=True, capture_output=True
            )
            family = json.loads(told.stdout)
            headers = {"Host": "localhost", "Cookie": family["cookie"], "X-CSRFToken": family["token"]}
            port = servers.free_port()
            with (home / "log").open("wb") as log:
                process = subprocess.Popen(
                    shlex.split(command.format(port=port)), cwd=ROOT, env=environment, stdout=log, stderr=log
                )
            try:
                if not servers.wait_until(lambda: servers.listens(port), 180):
                    raise RuntimeError(f"nothing listens; tried: {command}\n{(home / 'log').read_text()[-2000:]}")
                yield BenchSite(port, headers, family["submission"], process, home)
            finally:
                servers.stop(process)
        finally:
            servers.stop(redis)


def _environment(home: Path, redis_url: str) -> dict[str, str]:
    left_out = {
        "DATABASE_URL",
        "MEDIA_ROOT",
        "SITE_URL",
        "EMAIL_URL",
        "TRUSTED_PROXIES",
        "MEDIA_ACCEL",
        "ALLOWED_HOSTS",
    }
    kept = {name: value for name, value in os.environ.items() if name not in left_out}
    return {
        **kept,
        "DATA_DIR": str(home / "data"),
        "REDIS_URL": redis_url,
        "SECRET_KEY": "only-for-benches-" + "x" * 50,
        "UPLOAD_MAX_MB": str(LARGEST_MB),
        "LOG_LEVEL": "ERROR",
    }


def _family_of(pid: int) -> list[int]:
    """The process and all that descend from it."""
    try:
        children = [
            int(word) for path in Path(f"/proc/{pid}/task").glob("*/children") for word in path.read_text().split()
        ]
    except OSError:
        return [pid]
    return [pid, *(one for child in children for one in _family_of(child))]


def _anonymous_kb(pid: int) -> int:
    try:
        lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    except OSError:
        return 0
    return sum(int(line.split()[1]) for line in lines if line.startswith(("RssAnon:", "RssShmem:")))
