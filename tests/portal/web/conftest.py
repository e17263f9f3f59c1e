"""A server of our own around a few lines of an application, and lines to it that do as they are told."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from portal.web.server import Rules, Site
from portal.web.timeouts import Limits
from tests.servers import free_port, wait_until

QUICK = Limits(header_s=1.5, idle_s=3, window_s=1.5, window_bytes=100, reader_s=2, linger_s=1)


class Portal:
    """Stands in for the portal: notes every request with its body, and answers with the body's length."""

    def __init__(self) -> None:
        self.seen: list[tuple[str, str, bytes]] = []
        self.holds: threading.Event | None = None

    def __call__(self, environ: dict[str, Any], start_response: Callable[..., Any]) -> list[bytes]:
        if environ["PATH_INFO"] == "/hold/" and self.holds is not None:
            self.holds.wait(20)
        body = environ["wsgi.input"].read()
        self.seen.append((environ["REQUEST_METHOD"], environ["PATH_INFO"], body))
        answer = f"{environ['REQUEST_METHOD']} {len(body)} of {environ.get('CONTENT_LENGTH', '')}".encode()
        start_response("200 OK", [("Content-Length", str(len(answer)))])
        return [answer]


class Running:
    """A site that serves in a thread."""

    def __init__(self, site: Site, portal: Portal, port: int) -> None:
        self.site, self.portal, self.port = site, portal, port
        self.thread = threading.Thread(target=site.run)
        self.thread.start()

    def connect(self, source: str = "127.0.0.1") -> socket.socket:
        return socket.create_connection(("127.0.0.1", self.port), timeout=10, source_address=(source, 0))

    def ask(self, data: bytes, source: str = "127.0.0.1") -> bytes:
        """Everything that comes back until the other end closes."""
        with self.connect(source) as line:
            line.sendall(data)
            return read_all(line)

    def stop(self) -> None:
        self.site.stop()
        self.thread.join(20)
        assert not self.thread.is_alive()


def read_all(line: socket.socket) -> bytes:
    found = b""
    while piece := line.recv(65536):
        found += piece
    return found


@pytest.fixture
def serve(tmp_path: Path) -> Iterator[Callable[..., Running]]:
    """serve(**rules): a running site with quick limits; stopped at the end of the test."""
    running: list[Running] = []

    def start(**about: Any) -> Running:
        portal, port = Portal(), free_port()
        defaults: dict[str, Any] = {
            "folder": tmp_path, "largest": 1_000_000, "largest_of_anybody": 10_000, "may_send": lambda environ: True,
            "limits": QUICK,
        }  # fmt: skip
        site = Site(portal, Rules(**{**defaults, **about}), "127.0.0.1", port, threads=2)
        running.append(Running(site, portal, port))
        return running[-1]

    yield start
    for one in running:
        one.site.stop()
        one.thread.join(20)


def eventually(true: Callable[[], object], seconds: float = 8.0) -> bool:
    return wait_until(true, seconds)
