"""Listening, looking after lines that had their time, and an end within seconds."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from typing import Any

from waitress import wasyncore
from waitress.adjustments import Adjustments
from waitress.server import TcpWSGIServer
from waitress.task import ThreadedTaskDispatcher

from portal.web.channel import Channel
from portal.web.crowd import Crowd
from portal.web.straight import Taker
from portal.web.timeouts import Limits

WHOLE_ANSWER = 256 * 1024 * 1024  # an answer up to here waits on the disk for a slow reader; no thread waits with it


@dataclass(frozen=True)
class Rules:
    """What the portal lets in. `may_send` is asked, in a thread, about bodies longer than `largest_of_anybody`."""

    folder: Path
    largest: int
    largest_of_anybody: int
    may_send: Callable[[dict[str, Any]], bool | Taker]
    proxies: int = 0
    lines_of_one: int = 100
    lines: int = 2000
    limits: Limits = field(default_factory=Limits)


class Server(TcpWSGIServer):
    """One listening socket."""

    channel_class = Channel

    def __init__(self, application: Any, rules: Rules, crowd: Crowd, **waitress: Any) -> None:
        self.rules, self.crowd = rules, crowd
        super().__init__(application, **waitress)

    def maintenance(self, now: float) -> None:
        """Called about once a second by waitress's loop."""
        for channel in list(self.active_channels.values()):
            if channel.is_overdue(time.monotonic()):
                channel.will_close = True

    def stop_listening(self) -> None:
        wasyncore.dispatcher.close(self)


class Site:
    """All that serves one site: `run` until it is told to stop, by `stop` or by SIGTERM or SIGINT."""

    def __init__(self, application: Any, rules: Rules, host: str, port: int, threads: int) -> None:
        adjustments = Adjustments(
            host=host, port=port, threads=threads, ident="", connection_limit=rules.lines, cleanup_interval=1,
            recv_bytes=1024 * 1024, max_request_header_size=32 * 1024, max_request_body_size=2**62,
            outbuf_high_watermark=WHOLE_ANSWER, asyncore_use_poll=True, log_socket_errors=False,
            clear_untrusted_proxy_headers=rules.proxies == 0,
        )  # fmt: skip
        self._map: dict[int, Any] = {}
        self._stopping = False
        self._dispatcher = ThreadedTaskDispatcher()
        self._dispatcher.set_thread_count(threads)
        crowd = Crowd(rules.lines_of_one)
        self.servers = [
            Server(
                application, rules, crowd, map=self._map, dispatcher=self._dispatcher, adj=adjustments, sockinfo=info
            )
            for info in adjustments.listen
        ]

    def run(self) -> None:
        while not self._stopping:
            self._turn()
        self._wind_down()

    def stop(self, *_: Any) -> None:
        """May be called from a signal's handler and from another thread."""
        self._stopping = True
        self.servers[0].pull_trigger()

    def stop_at(self, numbers: Iterable[signal.Signals]) -> None:
        """Stop at the first of these signals, and be gone at the second."""

        def asked(number: int, frame: FrameType | None) -> None:
            if self._stopping:
                os._exit(1)
            self.stop()

        for number in numbers:
            signal.signal(number, asked)

    def _turn(self, seconds: float = 1.0) -> None:
        wasyncore.loop(timeout=seconds, use_poll=True, map=self._map, count=1)

    def _wind_down(self, seconds: float = 5.0) -> None:
        """Take nothing new, let go of lines on which nothing is being answered, finish the rest."""
        for server in self.servers:
            server.stop_listening()
        end = time.monotonic() + seconds
        while time.monotonic() < end and (self._close_idle() or self._at_work()):
            self._turn(0.05)
        self._dispatcher.shutdown(timeout=1)

    def _close_idle(self) -> int:
        """How many lines are left."""
        channels = [channel for server in self.servers for channel in server.active_channels.values()]
        for channel in channels:
            if not channel.is_busy:
                channel.will_close = True
        return len(channels)

    def _at_work(self) -> bool:
        return bool(self._dispatcher.queue) or self._dispatcher.active_count > 0
