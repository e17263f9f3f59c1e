"""A real server and a real client (tuspy) for resumable uploads: the site's own web process, killed and started at will."""

from __future__ import annotations

import http.client
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


class Process:
    """A process that can be killed in the middle of anything, with all that it started."""

    def __init__(self, command: list[str], env: dict[str, str], log: Path) -> None:
        self.command, self.env, self.log = command, env, log
        self.start()

    def start(self) -> None:
        with self.log.open("ab") as out:
            self.running = subprocess.Popen(self.command, env=self.env, stdout=out, stderr=out, start_new_session=True)

    def kill(self) -> None:
        with suppress(ProcessLookupError):
            os.killpg(self.running.pid, signal.SIGKILL)
        self.running.wait()


class Web(Process):
    """The web process of `manage.py run`."""

    def __init__(self, env: dict[str, str], log: Path) -> None:
        self.port = free_port()
        super().__init__(embedded._web("127.0.0.1", self.port).command, env, log)

    def answers(self) -> bool:
        """Wait for a first answer: before it, all of the portal is imported."""
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


def worker_command() -> list[str]:
    command = [sys.executable, "-m", "celery", "-A", "portal", "worker", "-c", "1", "-Q", "measuring"]
    return [*command, "--without-mingle", "--without-gossip", "--loglevel", "warning"]
