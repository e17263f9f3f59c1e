"""A real server and a real client (tuspy) for resumable uploads: the site's own web process, killed and started at will."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import struct
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from random import Random
from typing import Any
from uuid import uuid4

import requests
from django.test import Client
from tusclient.client import TusClient
from tusclient.exceptions import TusCommunicationError

from portal.health import embedded
from tests.servers import free_port, listens, wait_until

TOKEN = "a" * 32  # of the page: cookie and header only have to be the same
BROKEN = (TusCommunicationError, requests.RequestException, http.client.HTTPException, OSError)


def film(seed: int, size: int) -> bytes:
    """Bytes that no other film has, with the first of a film."""
    head = b"\0\0\0\x18ftypmp42"
    return head + Random(seed).randbytes(size - len(head))


NEST = """
import importlib, json, os, runpy, signal, sys
import django
django.setup()
for name in ("portal.urls", "portal.web.server", "portal.celery", "celery.bin.worker", "portal.measuring.tasks"):
    importlib.import_module(name)
importlib.import_module("portal.measuring.door").preload_scipy()
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
print("ready", flush=True)
for line in sys.stdin:
    words = json.loads(line)
    child = os.fork()
    if not child:
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        os.setsid()
        log = os.open(words.pop(0), os.O_WRONLY | os.O_CREAT | os.O_APPEND)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.dup2(log, 1)
        os.dup2(log, 2)
        sys.argv = words
        runpy.run_module(words[0], run_name="__main__", alter_sys=True)
        os._exit(0)
    print(child, flush=True)
"""


class Nest:
    """Where processes hatch that are killed again and again: everything is imported once, so that a start takes no
    seconds and a kill meets the process at work.
    """

    def __init__(self, env: dict[str, str]) -> None:
        pipe = subprocess.PIPE
        env = {**env, "DJANGO_SETTINGS_MODULE": "portal.settings"}
        self._process = subprocess.Popen([sys.executable, "-c", NEST], env=env, stdin=pipe, stdout=pipe, text=True)
        assert self._ask(None) == "ready"

    def hatch(self, words: list[str], log: Path) -> int:
        """Run a module with its arguments as a process of its own; its number."""
        return int(self._ask(json.dumps([str(log), *words])))

    def _ask(self, line: str | None) -> str:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        if line is not None:
            print(line, file=self._process.stdin, flush=True)
        return self._process.stdout.readline().strip()

    def close(self) -> None:
        self._process.kill()
        self._process.communicate()


class Process:
    """A process that can be killed in the middle of anything, with all that it started."""

    def __init__(self, nest: Nest, words: list[str], log: Path) -> None:
        self.nest, self.words, self.log = nest, words, log
        self.start()

    def start(self) -> None:
        self.pid = self.nest.hatch(self.words, self.log)

    def kill(self) -> None:
        """Gives back once it is gone: while a thread of it waits for the disk, its port is still taken."""
        with suppress(ProcessLookupError):
            os.kill(self.pid, signal.SIGKILL)
        with suppress(ProcessLookupError):
            os.killpg(self.pid, signal.SIGKILL)
        assert wait_until(self._is_gone, 60), f"{self.words[0]} outlives its kill"

    def _is_gone(self) -> bool:
        try:
            os.kill(self.pid, 0)  # itself alone: whether its orphans are ever reaped is the machine's business
        except ProcessLookupError:
            return True
        return False


class Web(Process):
    """The web process of `manage.py run`."""

    def __init__(self, nest: Nest, log: Path) -> None:
        self.port = free_port()
        command = embedded._web("127.0.0.1", self.port).command
        super().__init__(nest, command[command.index("-m") + 1 :], log)

    def answers(self) -> bool:
        """Wait for a first answer."""
        return wait_until(self._answers, 240)

    def _answers(self) -> bool:
        if not listens(self.port):
            return False
        try:
            requests.options(f"{self.address}/uploads/{uuid4()}/", timeout=240)
        except requests.RequestException:
            return False
        return True

    @property
    def address(self) -> str:
        return f"http://localhost:{self.port}"


class Family:
    """A signed-in family with its clips, over lines that break."""

    def __init__(self, web: Web, user: Any, submission: Any) -> None:
        client = Client()
        client.force_login(user, backend="allauth.account.auth_backends.AuthenticationBackend")
        session = client.cookies["sessionid"].value
        self.web = web
        self.headers = {"X-CSRFToken": TOKEN, "Cookie": f"sessionid={session}; csrftoken={TOKEN}"}
        self.endpoint = f"{web.address}/submissions/{submission.pk}/uploads/"

    def send(self, body: bytes, url: str | None = None, seconds: float = 120.0, chunk: int = 150_000) -> str:
        """Send it with tuspy, going on after every failure for as long as it takes; the upload's address."""
        end = time.monotonic() + seconds
        client = TusClient(self.endpoint, headers=self.headers)
        while True:
            try:
                options = {"file_stream": BytesIO(body), "chunk_size": chunk, "metadata": {"filename": "swing.mp4"}}
                uploader = client.uploader(**options, url=url)
                url = uploader.url or url
                if not url:
                    url = uploader.create_url()
                    uploader.set_url(url)
                uploader.upload()
                assert self.offset(url) == len(body)
            except BROKEN:
                if time.monotonic() > end:
                    raise
                time.sleep(0.1)
            else:
                return url

    def begin(self, size: int) -> str:
        headers = {**self.headers, "Tus-Resumable": "1.0.0", "Upload-Length": str(size)}
        answer = requests.post(self.endpoint, headers=headers, timeout=60)
        assert answer.status_code == 201, answer.text
        return self.web.address + answer.headers["Location"]

    def offset(self, url: str) -> int:
        answer = requests.head(url, headers={**self.headers, "Tus-Resumable": "1.0.0"}, timeout=60)
        if answer.status_code != 200:
            raise TusCommunicationError("no offset", answer.status_code)
        return int(answer.headers["Upload-Offset"])

    def cut(self, url: str, body: bytes, at: int, *, reset: bool, meanwhile: Callable[[], None] = lambda: None) -> None:
        """Begin a PATCH of all of it and let the line break after `at` bytes of the body."""
        path = url.removeprefix(self.web.address)
        lines = [
            f"PATCH {path} HTTP/1.1", f"Host: localhost:{self.web.port}", f"Content-Length: {len(body)}",
            "Content-Type: application/offset+octet-stream", "Tus-Resumable: 1.0.0", "Upload-Offset: 0",
            *(f"{name}: {value}" for name, value in self.headers.items()), "", "",
        ]  # fmt: skip
        with socket.create_connection(("127.0.0.1", self.web.port), timeout=10) as line:
            line.sendall("\r\n".join(lines).encode() + body[:at])
            meanwhile()
            if reset:  # as a phone in a tunnel does in the end; else in order
                line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))


WORKER = [
    "celery", "-A", "portal", "worker", "-c", "1", "-Q", "measuring", "--without-mingle", "--without-gossip",
    "--loglevel", "warning",
]  # fmt: skip
