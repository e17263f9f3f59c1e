"""The processes of the full set, started by hand as docker-compose.yml and the Dockerfile would start them.

PostgreSQL and Redis are the test run's own; where nginx is installed, the shipped front stands before the portal.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import ssl
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.error import HTTPError
from urllib.request import Request, urlopen

import pytest
import yaml
from django.conf import settings
from django.test import Client

from portal.camps.models import Camp
from portal.intake.states import State
from tests.house.fronts import make_certificate, program
from tests.once import once
from tests.portal import conftest as people
from tests.portal import material
from tests.servers import free_port, listens, stop, wait_until

pytestmark = pytest.mark.slow
PATIENCE = 90.0


@pytest.fixture
def environment(process_env: dict[str, str], root: Path, tmp_path: Path) -> dict[str, str]:
    """What compose gives to the portal, with this run's servers and folders."""
    if settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
        pytest.skip("the full set runs on PostgreSQL")
    compose = yaml.safe_load((root / "docker-compose.yml").read_text())
    names = compose["services"]["web"]["environment"].keys() & {"TRUSTED_PROXIES", "MEDIA_ACCEL"}
    given = {name: str(compose["services"]["web"]["environment"][name]) for name in names}
    data = {"DATA_DIR": str(tmp_path / "data"), "MEDIA_ROOT": str(tmp_path / "media"), "DEBUG": "0"}
    site = {
        "SITE_URL": "https://localhost",
        "ALLOWED_HOSTS": "localhost",
        "PYTHONPATH": str(root),
        "SECOND_FACTOR": "0",
    }
    for folder in (data["DATA_DIR"], data["MEDIA_ROOT"]):
        Path(folder).mkdir()
    program_path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    return {**process_env, **given, **data, **site, "PATH": program_path}


@pytest.fixture
def start(environment: dict[str, str], root: Path, tmp_path: Path) -> Iterator[Callable[[str, list[str]], Path]]:
    """start(name, words): run a process until the test ends; returns the file with what it printed."""
    running: list[subprocess.Popen[bytes]] = []

    def begin(name: str, words: list[str]) -> Path:
        log = tmp_path / f"{name}.log"
        with log.open("wb") as out:
            running.append(subprocess.Popen(words, cwd=root, env=environment, stdout=out, stderr=out))
        return log

    yield begin
    for process in reversed(running):
        stop(process)


def compose_command(root: Path, service: str) -> list[str]:
    """The service's words, with the defaults of its variables."""
    text = yaml.safe_load((root / "docker-compose.yml").read_text())["services"][service]["command"]
    return shlex.split(re.sub(r"\$\{\w+:-(\w+)\}", r"\1", text))


def collectstatic(root: Path) -> list[str]:
    """The step of compose's `prepare` that a page needs: the hashed copies of styles and scripts."""
    steps = compose_command(root, "prepare")[-1].split("&&")
    return next(shlex.split(step) for step in steps if "collectstatic" in step)


def collected(environment: dict[str, str], root: Path) -> Path:
    """A data folder in which that step was run, once for all tests: packing the files takes eight seconds."""

    def make(folder: Path) -> None:
        env = {**environment, "DATA_DIR": str(folder)}
        subprocess.run(collectstatic(root), cwd=root, env=env, check=True, capture_output=True)

    return once("static", "of-the-full-set", make)


def web_command(root: Path, port: int) -> list[str]:
    """The Dockerfile's CMD on another port."""
    found = re.search(r"^CMD (\[.*?\])$", (root / "Dockerfile").read_text().replace("\\\n", ""), re.MULTILINE)
    assert found is not None
    words: list[str] = json.loads(found[1])
    assert {"0.0.0.0", "8000"} <= set(words)
    return [{"0.0.0.0": "127.0.0.1", "8000": str(port)}.get(word, word) for word in words]


def ask(url: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
    """Status, headers and body of one answer, whatever its status; certificates are not looked at."""
    request = Request(url, headers={"Host": "localhost", **headers})
    try:
        with urlopen(request, timeout=PATIENCE, context=ssl._create_unverified_context()) as answer:
            return answer.status, dict(answer.headers), answer.read()
    except HTTPError as error:
        return error.code, dict(error.headers), error.read()


def test_web_workers_and_beat_find_each_other(start, environment, root: Path):
    """The health page turns well once beat's signs of life came back through both queues' workers."""
    port = free_port()
    logs = [start("web", web_command(root, port))]
    logs += [start(name, compose_command(root, name)) for name in ("worker", "mailer", "measurer", "beat")]
    assert wait_until(lambda: listens(port), PATIENCE), logs[0].read_text()

    def parts() -> dict[str, bool]:
        _, _, body = ask(f"http://127.0.0.1:{port}/health/", **{"X-Forwarded-Proto": "https"})
        found: dict[str, bool] = json.loads(body)["parts"]
        return found

    alive = ("database", "queue", "worker", "measurer", "mailer")
    end = time.monotonic() + PATIENCE
    while not all(parts()[name] for name in alive):
        assert time.monotonic() < end, f"{parts()}\n" + "\n".join(log.read_text()[-2000:] for log in logs)
        time.sleep(1)


@pytest.fixture
def front(start, environment, root: Path, tmp_path: Path) -> tuple[int, Any]:
    """nginx with the shipped file, its addresses and folders moved to the test's, before portal.web."""
    nginx, openssl = program("nginx"), program("openssl")
    if nginx is None or openssl is None:
        pytest.skip("nginx and openssl are not both installed here")
    https, web = free_port(), free_port()
    make_certificate(openssl, tmp_path / "certificates")
    (tmp_path / "mime.types").write_text("types { }\n")
    names = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    folders = "".join(f"{name}_temp_path {tmp_path}/{name};\n" for name in names)
    moved = {
        "user nginx;": "daemon off; error_log stderr; user root;" if os.geteuid() == 0 else "daemon off;",
        "/etc/nginx/": f"{tmp_path}/",
        "/tmp/nginx.pid": f"{tmp_path}/nginx.pid",
        "error_log /dev/stderr crit;": "",
        "http {": f"http {{\n{folders}",
        "listen 80 default_server;": f"listen {free_port()} default_server;",
        "listen [::]:80 default_server;": "",
        "listen 443 ssl": f"listen {https} ssl",
        "listen [::]:443 ssl http2 default_server;": "",
        "http://web:8000": f"http://127.0.0.1:{web}",
        "alias /media/;": f"alias {environment['MEDIA_ROOT']}/;",
    }
    text = (root / "setup" / "front" / "nginx.conf").read_text()
    for old, new in moved.items():
        assert old in text
        text = text.replace(old, new)
    (tmp_path / "nginx.conf").write_text(text)
    shutil.copytree(collected(environment, root) / "static", Path(environment["DATA_DIR"]) / "static")
    start("web", web_command(root, web))
    log = start("front", [nginx, "-e", "stderr", "-c", str(tmp_path / "nginx.conf")])
    assert wait_until(lambda: listens(web) and listens(https), PATIENCE), log.read_text()
    return https, log


def test_front_passes_pages_on_and_keeps_sealed_media_to_itself(front, environment):
    port, log = front
    (Path(environment["MEDIA_ROOT"]) / "secret.mp4").write_bytes(b"swing")
    status, headers, _ = ask(f"https://127.0.0.1:{port}/")
    assert status == 200, log.read_text()
    assert "Strict-Transport-Security" in headers
    assert ask(f"https://127.0.0.1:{port}/sealed-media/secret.mp4")[0] == 404
    assert "secret.mp4" not in log.read_text()


@pytest.fixture
def coach_and_clip(environment, settings: Any, tmp_path: Path) -> tuple[Any, Any]:
    """A coach, and a measured clip of the coach's camp in the full set's media folder."""
    settings.MEDIA_ROOT = environment["MEDIA_ROOT"]
    coach = people.make_user("maren@example.org", "Maren Oduya", is_coach=True)
    camp = Camp.objects.create(name="Lindholt fall camp", place="Lindholt")
    camp.coaches.add(coach)
    player = people.make_player(camp, people.make_user("lea@example.org", "Lea Sandvall"))
    (tmp_path / "products").mkdir()
    material.write_products(tmp_path / "products")
    return coach, people.make_measured_clip(people.make_submission(player, camp, State.READY), tmp_path / "products")


def test_front_sends_ranges_of_a_clip_to_its_coach_alone(coach_and_clip, front, tmp_path: Path):
    coach, clip = coach_and_clip
    name = next(path.name for path in (tmp_path / "products").iterdir() if path.suffix == ".pack")
    whole = (tmp_path / "products" / name).read_bytes()
    client = Client()
    client.force_login(coach, backend=settings.AUTHENTICATION_BACKENDS[0])
    cookie = {"Cookie": f"{settings.SESSION_COOKIE_NAME}={client.cookies[settings.SESSION_COOKIE_NAME].value}"}
    port, _ = front
    url = f"https://127.0.0.1:{port}/clips/{clip.pk}/{name}"

    status, headers, body = ask(url, **cookie)
    assert (status, body) == (200, whole)
    assert "X-Accel-Redirect" not in headers
    assert "private" in headers["Cache-Control"]
    assert headers["Referrer-Policy"] == "no-referrer"
    assert "noindex" in headers["X-Robots-Tag"]
    status, headers, body = ask(url, **cookie, Range="bytes=2-5")
    assert (status, body) == (206, whole[2:6])
    assert headers["Content-Range"] == f"bytes 2-5/{len(whole)}"
    assert ask(url, **cookie, Range="bytes=-3")[2] == whole[-3:]
    assert ask(url, **cookie, Range=f"bytes={len(whole)}-")[0] == 416
    assert whole not in ask(url)[2]
    assert whole[2:6] not in ask(url, Range="bytes=2-5")[2]
