"""The portal served to a browser as in production: hashed static files, through WhiteNoise, in threads of its own."""

from __future__ import annotations

import socket
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from threading import Condition
from typing import Any
from urllib.error import HTTPError
from urllib.request import urlopen

from django.core.handlers.wsgi import WSGIHandler
from django.db import connections
from django.test.testcases import LiveServerThread, QuietWSGIRequestHandler

WsgiApp = Callable[..., Any]


@cache
def portal() -> WsgiApp:
    """The application, made once: WhiteNoise looks through all static files at its start, and they stay the same for a run."""
    return WSGIHandler()


class _Counted:
    """The portal, and how many of its answers are under way."""

    def __init__(self) -> None:
        self._changed, self._count = Condition(), 0

    def __call__(self, environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterator[bytes]:
        self._count_on(1)
        try:
            answer = portal()(environ, start_response)
        except BaseException:
            self._count_on(-1)
            raise
        return self._told(answer)

    def _told(self, answer: Any) -> Iterator[bytes]:
        try:
            yield from answer
        finally:
            with suppress(AttributeError):
                answer.close()
            self._count_on(-1)

    def _count_on(self, step: int) -> None:
        with self._changed:
            self._count += step
            self._changed.notify_all()

    def wait_until_idle(self, seconds: float) -> None:
        with self._changed:
            self._changed.wait_for(lambda: self._count == 0, seconds)


class _Thread(LiveServerThread):
    def __init__(self, *args: Any, **options: Any) -> None:
        self.app = _Counted()
        super().__init__(*args, **options)

    def run(self) -> None:
        """As Django's own, without handlers for static files and media that only tests have: WhiteNoise answers, as in portal.web."""
        for alias, connection in (self.connections_override or {}).items():
            connections[alias] = connection
        try:
            self.httpd = self._create_server(connections_override=self.connections_override)
            self.port = self.httpd.server_address[1]
            self.httpd.set_app(self.app)
            self.is_ready.set()
            self.httpd.serve_forever()
        except Exception as error:
            self.error = error
            self.is_ready.set()
        finally:
            connections.close_all()

    def _create_server(self, connections_override: Any = None) -> Any:
        """A port is free again as soon as nobody listens, as for a server that is started again."""
        return self.server_class(
            (self.host, self.port),
            QuietWSGIRequestHandler,
            allow_reuse_address=True,
            connections_override=connections_override,
        )


class Site:
    """Serves until `stop()`, on a free port or the one that is asked for. `url` has no slash at its end."""

    def __init__(self, port: int = 0) -> None:
        shared = {}
        for connection in connections.all():
            if connection.vendor == "sqlite" and connection.is_in_memory_db():
                shared[connection.alias] = connection
        self._thread = _Thread("127.0.0.1", None, connections_override=shared, port=port)
        self._thread.daemon = True
        self._thread.start()
        self._thread.is_ready.wait()
        self._lines: list[Any] = []
        if self._thread.error:
            self.stop()
            raise self._thread.error
        take = self._thread.httpd.process_request

        def noted(line: Any, address: Any) -> None:
            self._lines.append(line)
            take(line, address)

        self._thread.httpd.process_request = noted
        self.url = f"http://{self._thread.host}:{self._thread.port}"
        with suppress(HTTPError):  # the first answer imports every view, which is no page's fault
            urlopen(self.url, timeout=120).close()

    def kill(self) -> None:
        """As when its process is killed: every open line ends with it."""
        self._thread.httpd.shutdown()
        self._thread.httpd.server_close()
        for line in self._lines:
            with suppress(OSError):
                line.shutdown(socket.SHUT_RDWR)
        self._thread.terminate()

    def stop(self) -> None:
        """What a page sent as it went is answered before the test's rows are deleted."""
        self._thread.terminate()
        self._thread.app.wait_until_idle(10)
