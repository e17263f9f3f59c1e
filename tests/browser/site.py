"""The portal served to a browser as in production: hashed static files, through WhiteNoise, in threads of its own."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Any
from urllib.error import HTTPError
from urllib.request import urlopen

from django.db import connections
from django.test.testcases import LiveServerThread

WsgiApp = Callable[..., Any]


def straight_through(application: WsgiApp) -> WsgiApp:
    """No test-only handler for static files: WhiteNoise answers, as it does in portal.web."""
    return application


class Site:
    """Serves until `stop()`, on a free port or the one that is asked for. `url` has no slash at its end."""

    def __init__(self, port: int = 0) -> None:
        shared = {}
        for connection in connections.all():
            if connection.vendor == "sqlite" and connection.is_in_memory_db():
                shared[connection.alias] = connection
        self._thread = LiveServerThread("127.0.0.1", straight_through, connections_override=shared, port=port)
        self._thread.daemon = True
        self._thread.start()
        self._thread.is_ready.wait()
        if self._thread.error:
            self.stop()
            raise self._thread.error
        self.url = f"http://{self._thread.host}:{self._thread.port}"
        with suppress(HTTPError):  # the first answer imports every view, which is no page's fault
            urlopen(self.url, timeout=120).close()

    def stop(self) -> None:
        self._thread.terminate()
