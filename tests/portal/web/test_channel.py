"""Slow, broken, crowding and greedy clients, against a real socket."""

from __future__ import annotations

import io
import socket
import time
from contextlib import suppress

import pytest

from tests.portal.web.conftest import eventually, read_all

pytestmark = pytest.mark.slow  # waits for the time limits of real sockets

PAGE = b"GET /page/ HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n"
TUS = b"Content-Type: application/offset+octet-stream\r\n"


def head(method: str, length: int, *lines: bytes) -> bytes:
    return b"".join([f"{method} /clip/ HTTP/1.1\r\nHost: x\r\nContent-Length: {length}\r\n".encode(), *lines, b"\r\n"])


def is_closed_after(line: socket.socket) -> float:
    """Seconds until the other end has closed."""
    begin = time.monotonic()
    read_all(line)
    return time.monotonic() - begin


def test_many_slow_lines_hold_up_nobody(serve):
    """Two threads, sixty lines that go nowhere: pages come all the same."""
    site = serve()
    lines = [site.connect() for _ in range(60)]
    for number, line in enumerate(lines):
        line.sendall(
            [b"", b"GET / HTTP/1.1\r\nHos", head("POST", 500) + b"half", head("PUT", 900_000) + bytes(99)][number % 4]
        )
    begin = time.monotonic()
    for _ in range(20):
        assert site.ask(PAGE).startswith(b"HTTP/1.1 200")
    assert (time.monotonic() - begin) / 20 < 0.3
    for line in lines:
        line.close()


@pytest.mark.parametrize("sent", [b"", b"GET / HTTP/1.1\r\nHos"])
def test_a_header_has_to_be_whole_in_time(serve, sent):
    with serve().connect() as line:
        line.sendall(sent)
        assert is_closed_after(line) < 6


@pytest.mark.parametrize("drop", [b"X-A: b\r\n", b"\r\n"])
def test_one_that_drips_is_ended_as_well(serve, drop):
    """Bytes that keep coming win no time: neither lines of a header nor empty ones before it."""
    with serve().connect() as line:
        if drop != b"\r\n":
            line.sendall(b"GET / HTTP/1.1\r\n")
        begin = time.monotonic()
        with suppress(ConnectionError):  # which is the end, as it falls: reset or broken pipe
            while time.monotonic() - begin < 12:
                line.sendall(drop)
                time.sleep(0.2)
        assert time.monotonic() - begin < 8


def test_a_body_that_comes_too_slowly_is_ended(serve):
    site = serve()
    with site.connect() as line:
        line.sendall(head("POST", 5000) + b"half a form")
        assert is_closed_after(line) < 6
    assert site.portal.seen == []


def test_a_body_that_keeps_coming_is_taken(serve):
    site = serve()
    with site.connect() as line:
        line.sendall(head("POST", 2000, b"Connection: close\r\n"))
        for _ in range(10):  # three times the window
            line.sendall(bytes(200))
            time.sleep(0.45)
        assert b"POST 2000 of 2000" in read_all(line)


def test_a_large_body_is_taken_from_whom_the_portal_knows(serve):
    asked = []
    site = serve(may_send=lambda environ: asked.append(environ["CONTENT_LENGTH"]) or True)
    answer = site.ask(head("PUT", 500_000, b"Connection: close\r\n") + bytes(500_000))
    assert b"PUT 500000 of 500000" in answer
    assert asked == ["500000"]


def test_nobody_else_can_fill_the_disk_and_still_reads_the_answer(serve):
    """The portal answers from the header alone, and the answer arrives although the sender goes on sending."""
    site = serve(may_send=lambda environ: False)
    with site.connect() as line:
        line.sendall(head("PUT", 900_000) + bytes(100_000))
        time.sleep(0.5)
        line.sendall(bytes(100_000))
        assert b"PUT 0 of 900000" in read_all(line)


def test_a_small_body_is_nobodys_question(serve):
    site = serve(may_send=lambda environ: pytest.fail("asked"))
    assert b"POST 100 of 100" in site.ask(head("POST", 100, b"Connection: close\r\n") + bytes(100))


def test_a_body_of_unknown_length_ends_where_the_largest_does(serve):
    site = serve()
    chunk = b"8000\r\n" + bytes(0x8000) + b"\r\n"
    with site.connect() as line:
        line.sendall(b"PUT /clip/ HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n")
        line.sendall(chunk * 40)
        assert read_all(line).startswith(b"HTTP/1.1 413")
    assert site.portal.seen == []


def test_a_full_disk_is_said_and_is_not_the_senders_fault(serve, monkeypatch):
    def full(self, held):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("portal.web.body.Body._move_to_disk", full)
    answer = serve().ask(head("PUT", 500_000) + bytes(500_000))
    assert answer.startswith(b"HTTP/1.1 507")
    assert b"not yours" in answer


def test_what_came_before_the_line_broke_reaches_a_resumable_upload(serve):
    site = serve()
    with site.connect() as line:
        line.sendall(head("PATCH", 500_000, TUS) + b"x" * 123_456)
        time.sleep(0.5)
    assert eventually(lambda: site.portal.seen)
    assert site.portal.seen == [("PATCH", "/clip/", b"x" * 123_456)]


def test_half_of_anything_else_goes_nowhere(serve):
    site = serve()
    with site.connect() as line:
        line.sendall(head("PUT", 500_000) + b"x" * 123_456)
        time.sleep(0.5)
    assert site.ask(PAGE).startswith(b"HTTP/1.1 200")
    assert [path for _, path, _ in site.portal.seen] == ["/page/"]


def test_one_address_gets_so_many_lines_and_others_theirs(serve):
    site = serve(lines_of_one=8)
    crowd = [site.connect("127.1.0.1") for _ in range(8)]
    assert site.ask(PAGE, "127.1.0.2").startswith(b"HTTP/1.1 200")
    assert site.ask(PAGE, "127.1.0.1").startswith(b"HTTP/1.1 429")
    crowd.pop().close()
    assert eventually(lambda: site.ask(PAGE, "127.1.0.1").startswith(b"HTTP/1.1 200"))
    for line in crowd:
        line.close()


def test_behind_a_front_bodies_are_counted_by_whom_the_front_names(serve):
    site = serve(lines_of_one=2, proxies=1)
    named = b"X-Forwarded-For: 198.51.100.1, 192.0.2.1\r\n"
    held = [site.connect() for _ in range(2)]
    for line in held:
        line.sendall(head("POST", 5000, named) + b"half")
    assert eventually(lambda: site.ask(head("POST", 5000, named) + b"half").startswith(b"HTTP/1.1 429"), 1.0)
    other = head("POST", 4, b"X-Forwarded-For: 192.0.2.2\r\nConnection: close\r\n")
    with site.connect() as line:
        line.sendall(other)
        line.sendall(b"half")
        assert read_all(line).startswith(b"HTTP/1.1 200")
    for line in held:
        line.close()


def test_two_requests_on_one_line_are_both_answered(serve):
    answer = serve().ask(b"GET /one/ HTTP/1.1\r\nHost: x\r\n\r\n" + PAGE)
    assert answer.count(b"HTTP/1.1 200") == 2


def test_a_stop_answers_what_is_whole_keeps_what_is_of_use_and_lets_the_rest_go(serve):
    import threading

    site = serve()
    site.portal.holds = threading.Event()
    with site.connect() as held, site.connect() as broken, site.connect() as idle:
        held.sendall(b"GET /hold/ HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
        broken.sendall(head("PATCH", 500_000, TUS) + b"x" * 50_000)
        time.sleep(0.5)
        site.site.stop()
        assert read_all(idle) == b""
        site.portal.holds.set()
        assert read_all(held).startswith(b"HTTP/1.1 200")
        site.stop()
    assert ("PATCH", "/clip/", b"x" * 50_000) in site.portal.seen


def test_a_stop_takes_seconds_also_when_a_page_hangs(serve):
    import threading

    site = serve()
    site.portal.holds = threading.Event()
    with site.connect() as held:
        held.sendall(b"GET /hold/ HTTP/1.1\r\nHost: x\r\n\r\n")
        time.sleep(0.3)
        begin = time.monotonic()
        site.stop()
        assert time.monotonic() - begin < 9
    site.portal.holds.set()


class Taken:
    """Takes a body as a view's own taker does."""

    def __init__(self, room: int = 10**9) -> None:
        self.room, self.held, self.is_closed = room, b"", False

    def append(self, piece):
        if len(self.held) + len(piece) > self.room:
            raise OSError(28, "No space left on device")
        self.held += piece

    def __len__(self):
        return len(self.held)

    def getfile(self):
        return io.BytesIO(b"token=x")

    def environ(self):
        return {"CONTENT_LENGTH": "7", "taker": self}

    def close(self):
        self.is_closed = True


def test_a_body_goes_straight_where_its_view_wants_it(serve):
    taken = Taken()
    site = serve(may_send=lambda environ: taken)
    body = bytes(range(256)) * 2000
    answer = site.ask(head("POST", len(body), b"Connection: close\r\n") + body)
    assert b"POST 7 of 7" in answer
    assert taken.held == body
    assert eventually(lambda: taken.is_closed)


def test_so_does_one_whose_header_comes_alone(serve):
    """Then there is nothing to hand over yet, and nothing is handed over: an empty piece is the end for some."""
    pieces: list[bytes] = []
    taken = Taken()
    taken.append = pieces.append  # type: ignore[method-assign]
    site = serve(may_send=lambda environ: taken)
    with site.connect() as line:
        line.sendall(head("POST", 20_000, b"Connection: close\r\n"))
        time.sleep(0.5)
        line.sendall(b"x" * 20_000)
        assert b"POST 7 of 7" in read_all(line)
    assert b"".join(pieces) == b"x" * 20_000
    assert all(pieces)


def test_where_a_view_finds_the_disk_full_it_is_said(serve):
    taken = Taken(room=200_000)
    answer = serve(may_send=lambda environ: taken).ask(head("POST", 500_000) + bytes(500_000))
    assert answer.startswith(b"HTTP/1.1 507")
    assert eventually(lambda: taken.is_closed)


def test_where_there_is_no_room_from_the_start_it_is_said_too(serve):
    taken = Taken(room=0)
    with serve(may_send=lambda environ: taken).connect() as line:
        line.sendall(head("POST", 500_000) + b"x" * 1000)
        assert read_all(line).startswith(b"HTTP/1.1 507")
    assert eventually(lambda: taken.is_closed)


@pytest.mark.parametrize("kind", [TUS, b""])
def test_a_line_that_breaks_lets_go_of_what_took_its_body(serve, kind):
    taken = Taken()
    site = serve(may_send=lambda environ: taken)
    with site.connect() as line:
        line.sendall(head("PATCH", 500_000, kind) + b"x" * 1000)
        assert eventually(lambda: len(taken) == 1000)
    assert eventually(lambda: taken.is_closed)
    assert bool(site.portal.seen) is (kind == TUS)


def test_a_body_of_unknown_length_says_none_when_leave_is_asked(serve):
    asked = []
    site = serve(may_send=lambda environ: asked.append(environ.get("CONTENT_LENGTH")) or True)
    lines = b"POST /clip/ HTTP/1.1\r\nHost: x\r\nConnection: close\r\nContent-Length: 9\r\nTransfer-Encoding: chunked\r\n\r\n"
    with site.connect() as line:
        line.sendall(lines + b"4\r\ncl")
        assert eventually(lambda: asked)
        line.sendall(b"ip\r\n0\r\n\r\n")
        assert b"POST 4 of 4" in read_all(line)
    assert asked == [None]
