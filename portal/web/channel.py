"""One line to a client: waitress's channel, with an eye on the clock, on the crowd, and on what a broken line leaves."""

from __future__ import annotations

import socket
import time
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING, Any

from waitress.channel import HTTPChannel

from portal.web.crowd import forwarded, one_of
from portal.web.request import Request
from portal.web.straight import Taker
from portal.web.tasks import Answer, AskLeave, TakePart
from portal.web.timeouts import MinimumRate
from portal.web.words import TooMany, as_bytes

if TYPE_CHECKING:
    from portal.web.server import Server


class Channel(HTTPChannel):
    """Everything but `service` and `take_leave` runs in the loop's thread."""

    server: Server
    task_class = Answer
    close_when_flushed: bool

    def __init__(self, server: Server, sock: socket.socket, addr: Any, adj: Any, map: Any = None) -> None:
        self.rules = server.rules
        self.parser_class: Any = partial(Request, rules=server.rules)
        self.waits_for_leave = False
        self.is_read_out = True  # False once an answer goes out before the whole request came in
        self._lingers_since: float | None = None
        self._idle_since = time.monotonic()
        self._has_served = False
        self._header_since: float | None = None
        self._counted_as: str | None = None
        self._counted_for: Request | None = None
        super().__init__(server, sock, addr, adj, map=map)
        if self.rules.proxies == 0 and not self._enter(one_of(str(addr[0]))):
            self._turn_away()

    # The crowd

    def _enter(self, address: str) -> bool:
        if self.server.crowd.enter(address):
            self._counted_as = address
            return True
        return False

    def _leave(self) -> None:
        if self._counted_as is not None:
            self.server.crowd.leave(self._counted_as)
            self._counted_as = self._counted_for = None

    def _turn_away(self) -> None:
        with suppress(OSError):
            self.socket.send(as_bytes(TooMany()))
        self._linger()

    # What comes in

    def readable(self) -> bool:
        if self._lingers_since is not None:
            return not self.will_close
        return not self.waits_for_leave and bool(super().readable())

    def received(self, data: bytes) -> bool:
        if self._lingers_since is not None:
            return True  # thrown away
        done = bool(super().received(data))
        request: Any = self.request
        self._header_since = None if request is None or request.headers_finished else self._header_since or _now()
        if self._counted_for is not None and self._counted_for is not request:
            self._leave()
        if request is not None and request.headers_finished and request.body_rate is None:
            request.body_rate = MinimumRate(self.rules.limits, _now())
            self._look_at_sender(request)
        return done

    def _look_at_sender(self, request: Request) -> None:
        """A body begins: count who sends it by the word of the front, and ask whether a large one is wanted at all."""
        if self.rules.proxies:
            address = one_of(forwarded(request.headers.get("X_FORWARDED_FOR", ""), self.rules.proxies))
            if not self._enter(address):
                request.end_with(TooMany())
                self._answer_early(request)
                return
            self._counted_for = request
        if request.is_large:
            self.waits_for_leave = True
            self.server.add_task(AskLeave(self, request, self.rules.may_send))

    def take_leave(self, request: Request, may: bool | Taker) -> None:
        """The answer to AskLeave, from one of the threads."""
        with self.requests_lock:
            self.waits_for_leave = False
            is_still_here = self.request is request
            if is_still_here and may is False:
                request.go_without_body()
            elif is_still_here and not isinstance(may, bool):
                request.go_straight(may)
        if is_still_here and (may is False or request.error is not None):
            self._answer_early(request)
        elif not is_still_here:
            request.close()
            if not isinstance(may, bool):
                may.close()
        self.server.pull_trigger()

    def _answer_early(self, request: Request) -> None:
        """Hand on a request although not all of it is here."""
        with self.requests_lock:
            self.request = None
            self.is_read_out = False
            self.requests.append(request)
            if len(self.requests) == 1:
                self.server.add_task(self)

    # What goes out

    def service(self) -> None:
        if self.requests and self.requests[0].error is not None:
            self.is_read_out = False
        super().service()
        self._idle_since, self._has_served = _now(), True

    def handle_write(self) -> None:
        """Somebody who still sends is left a moment to read the answer: closing at once would take it from them."""
        if self.is_read_out or not self.close_when_flushed:
            super().handle_write()
            return
        self.close_when_flushed = False  # so that it only sends
        super().handle_write()
        if self.connected and not self.will_close:
            if self.total_outbufs_len:
                self.close_when_flushed = True
            else:
                self._linger()

    def _linger(self) -> None:
        with suppress(OSError):
            self.socket.shutdown(socket.SHUT_WR)
        self._lingers_since = _now()

    # The end

    @property
    def is_busy(self) -> bool:
        """Whether a whole request is being answered."""
        return bool(self.requests or self.waits_for_leave or self.total_outbufs_len)

    def is_overdue(self, now: float) -> bool:
        """Whether this line has had its time."""
        limits = self.rules.limits
        if self._lingers_since is not None:
            return now - self._lingers_since > limits.linger_s
        if self.total_outbufs_len:
            return time.time() - self.last_activity > limits.reader_s
        if self.is_busy:
            return False
        request: Any = self.request
        if request is not None and request.body_rate is not None:
            return bool(request.body_rate.is_too_slow(request.body_bytes_received, now))
        if self._header_since is not None:
            return now - self._header_since > limits.header_s
        return now - self._idle_since > (limits.idle_s if self._has_served else limits.header_s)

    def handle_close(self) -> None:
        with self.requests_lock:
            request: Any = self.request
            self.request = None
            asks = self.waits_for_leave
        super().handle_close()
        self._leave()
        if request is None or asks:  # AskLeave closes what it holds
            return
        if request.headers_finished and request.is_of_use_in_part:
            self.server.add_task(TakePart(self, request))
        else:
            request.close()


def _now() -> float:
    return time.monotonic()
