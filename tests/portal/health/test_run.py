"""`manage.py run`, with no Redis and no PostgreSQL installed: it comes up, answers, and goes without a trace."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from urllib.error import HTTPError, URLError
from urllib.request import urlopen

import pytest

from portal.health import ports
from tests.servers import free_port, wait_until

pytestmark = pytest.mark.slow


@pytest.fixture
def site(root, tmp_path):
    """A running site: its process, its address, and the folder it keeps its data in."""
    port, data = free_port(), tmp_path / "a folder with spaces"
    left_out = ("DATABASE_URL", "REDIS_URL", "MEDIA_ROOT", "SITE_URL", "EMAIL_URL")
    env = {name: value for name, value in os.environ.items() if name not in left_out}
    env |= {"DATA_DIR": str(data), "PORT": str(port)}
    log = (tmp_path / "log").open("wb")
    process = subprocess.Popen(
        [sys.executable, "manage.py", "run"], env=env, cwd=root, stdout=log, stderr=log, umask=0o022
    )
    yield process, f"http://localhost:{port}", data
    if process.poll() is None:
        process.send_signal(signal.SIGINT)
        process.wait(60)


def health(address: str) -> dict:
    try:
        with urlopen(f"{address}/health/", timeout=5) as answer:
            return json.load(answer)
    except HTTPError as answer:
        return json.load(answer)
    except (URLError, OSError):
        return {}


def processes_naming(text: str) -> list[int]:
    """Every running process whose command line or environment names this folder."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            about = (folder / "cmdline").read_bytes() + (folder / "environ").read_bytes()
        except OSError:
            continue
        if text.encode() in about and int(folder.name) != os.getpid():
            found.append(int(folder.name))
    return found


@pytest.mark.skipif(not Path("/proc/self/environ").exists(), reason="looks for processes in /proc")
def test_the_whole_site_comes_up_heals_and_goes(site):
    process, address, data = site
    assert wait_until(lambda: health(address).get("parts", {}).get("queue"), 180)
    assert wait_until(lambda: all(map(health(address)["parts"].get, ("worker", "measurer", "mailer", "database"))), 120)
    with urlopen(f"{address}/", timeout=20) as page:
        text = page.read().decode()
    assert "Cagenote" in text
    style = text.split('rel="stylesheet" href="')[1].split('"')[0]
    with urlopen(address + style, timeout=20) as sheet:
        assert sheet.headers["Content-Type"].startswith("text/css")

    redis = next(pid for pid in processes_naming("redis-server") if descends_from(pid, process.pid))
    os.kill(redis, signal.SIGKILL)
    assert wait_until(lambda: health(address).get("parts", {}).get("queue"), 60), "the queue was not started again"

    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0
    assert [path for path in (data, *data.rglob("*")) if path.lstat().st_mode & 0o077] == []
    assert wait_until(lambda: processes_naming(str(data)) == [], 5)


def descends_from(pid: int, ancestor: int) -> bool:
    """Redis may sit on a socket in a short folder elsewhere, so its family tells whose it is."""
    while pid > 1 and pid != ancestor:
        try:
            stat = Path(f"/proc/{pid}/stat").read_text()
        except OSError:
            return False
        pid = int(stat.rpartition(")")[2].split()[1])
    return pid == ancestor


def test_a_port_in_use_is_said_with_another_one(root, tmp_path):
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = subprocess.run(
            [sys.executable, "manage.py", "run", "--port", str(port)], cwd=root, capture_output=True, text=True,
            env={**os.environ, "DATA_DIR": str(tmp_path / "data")}, timeout=60,
        )  # fmt: skip
    assert done.returncode == 1
    assert f"Port {port} is in use" in done.stderr
    assert f"PORT={port + 1}" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(("given", "words"), [("0", "at least 1"), ("eighty", "whole number"), ("99999", "is no port")])
def test_a_port_that_is_none_is_refused(given, words, monkeypatch):
    monkeypatch.setenv("PORT", given)
    with pytest.raises(Exception, match=words):
        ports.chosen(None)


def test_static_files_are_collected_once(settings, tmp_path):
    from portal.health import static_files

    settings.STATIC_ROOT, settings.STATICFILES_DIRS = tmp_path / "static", [tmp_path / "source"]
    settings.STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.FileSystemFinder"]
    (tmp_path / "source").mkdir()
    (tmp_path / "source" / "a.css").write_text("a{}")
    assert (static_files.collect(), static_files.collect()) == (True, False)
    time.sleep(0.01)
    (tmp_path / "source" / "a.css").write_text("b{}")
    assert static_files.collect()
    assert (tmp_path / "static" / "a.css").read_text() == "b{}"
