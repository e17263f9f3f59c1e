"""Work for the threads beside answering: asking for leave, and what a broken line brought."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from waitress.task import WSGITask

from portal.web.request import Request
from portal.web.straight import Taker

if TYPE_CHECKING:
    from portal.web.channel import Channel


class AskLeave:
    """May this large body come in? The channel waits meanwhile."""

    def __init__(self, channel: Channel, request: Request, may_send: Callable[[dict[str, Any]], bool | Taker]) -> None:
        self._channel, self._request, self._may_send = channel, request, may_send

    def service(self) -> None:
        may: bool | Taker = False
        try:
            about = environment(self._channel, self._request)
            if self._request.chunked:  # whatever length it says beside
                about.pop("CONTENT_LENGTH", None)
            may = self._may_send(about)
        finally:
            self._channel.take_leave(self._request, may)

    def cancel(self) -> None:
        self._channel.cancel()


class TakePart:
    """Give the portal what came of a body before its line broke; nobody is left to read the answer."""

    def __init__(self, channel: Channel, request: Request) -> None:
        self._channel, self._request = channel, request

    def service(self) -> None:
        self._request.give_in_part()
        answer = self._channel.server.application(environment(self._channel, self._request), _said_to_nobody)
        try:
            for _ in answer:
                pass
        finally:
            if hasattr(answer, "close"):
                answer.close()
            self._request.close()

    def cancel(self) -> None:
        with suppress(Exception):
            self._request.close()


class Answer(WSGITask):
    """waitress's way to ask the portal, with what is to be said of a body that went its own way."""

    def get_environment(self) -> dict[str, Any]:
        environ: dict[str, Any] = super().get_environment()
        if self.request.taker is not None:
            environ.update(self.request.taker.environ())
        return environ


def environment(channel: Channel, request: Request) -> dict[str, Any]:
    return Answer(channel, request).get_environment()


def _said_to_nobody(status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> Callable[[bytes], None]:
    return lambda data: None
