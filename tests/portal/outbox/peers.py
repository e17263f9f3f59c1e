"""Mail servers on loopback that behave well and badly, for real: each on a port of its own, in a thread of its own."""

from __future__ import annotations

import logging
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from email import message_from_bytes, policy
from email.message import EmailMessage
from typing import Any

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP

from tests.servers import free_port

Answer = str | None
logging.getLogger("mail.log").setLevel(logging.WARNING)  # aiosmtpd tells every line of every talk


class MailServer:
    """Keeps what it takes. `rcpt` and `data` may answer in its place: a function of the address, or of the message."""

    def __init__(
        self, rcpt: Callable[[str], Answer] | None = None, data: Callable[[bytes], Answer] | None = None
    ) -> None:
        self.taken: list[tuple[list[str], EmailMessage]] = []
        self.connections = 0
        self.asked: list[str] = []
        self._rcpt, self._data = rcpt, data
        self._controller = Controller(self, hostname="127.0.0.1", port=free_port())

    @property
    def port(self) -> int:
        return int(self._controller.port)

    def start(self) -> None:
        self._controller.start()

    def stop(self) -> None:
        self._controller.stop()

    async def handle_EHLO(
        self, server: SMTP, session: Any, envelope: Any, hostname: str, responses: list[str]
    ) -> list[str]:
        self.connections += 1
        session.host_name = hostname
        return responses

    async def handle_RCPT(self, server: SMTP, session: Any, envelope: Any, address: str, options: list[str]) -> str:
        self.asked.append(address)
        if self._rcpt and (answer := self._rcpt(address)):
            return answer
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: SMTP, session: Any, envelope: Any) -> str:
        if self._data and (answer := self._data(envelope.content)):
            return answer
        parsed = message_from_bytes(envelope.content, policy=policy.default)
        assert isinstance(parsed, EmailMessage)
        self.taken.append((list(envelope.rcpt_tos), parsed))
        return f"250 2.0.0 Ok: queued as {len(self.taken):04X}"


class Rude:
    """A server that `speak`s with each connection as it likes. `connections` counts them."""

    def __init__(self, speak: Callable[[socket.socket, threading.Event], None]) -> None:
        self.connections = 0
        self._speak, self._over = speak, threading.Event()
        self._listener = socket.create_server(("127.0.0.1", 0))
        self._listener.settimeout(0.1)
        self.port = int(self._listener.getsockname()[1])
        self._thread = threading.Thread(target=self._listen, daemon=True)

    def start(self) -> None:
        self._thread.start()

    def stop(self) -> None:
        self._over.set()
        self._thread.join(5)
        self._listener.close()

    def _listen(self) -> None:
        while not self._over.is_set():
            try:
                connection, _ = self._listener.accept()
            except TimeoutError:
                continue
            self.connections += 1
            threading.Thread(target=self._serve, args=(connection,), daemon=True).start()

    def _serve(self, connection: socket.socket) -> None:
        with connection, suppress(OSError):
            self._speak(connection, self._over)


def silent(connection: socket.socket, over: threading.Event) -> None:
    """Accepts, and says nothing."""
    over.wait(60)


def closes_in_data(connection: socket.socket, over: threading.Event) -> None:
    """Polite until the email comes, then gone."""
    lines = connection.makefile("rb")
    connection.sendall(b"220 here\r\n")
    for line in lines:
        if line.upper().startswith(b"DATA"):
            connection.sendall(b"354 go on\r\n")
            lines.readline()
            return
        connection.sendall(b"250 ok\r\n")


def dribbles(connection: socket.socket, over: threading.Event) -> None:
    """One letter of its greeting at a time, forever."""
    while not over.is_set():
        connection.sendall(b"2")
        time.sleep(0.1)


@contextmanager
def running(peer: MailServer | Rude) -> Iterator[Any]:
    peer.start()
    try:
        yield peer
    finally:
        peer.stop()
