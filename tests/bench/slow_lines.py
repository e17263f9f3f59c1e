"""How the way in holds: `python -m tests.bench.slow_lines`.

A visitor's page while 200 clips come in at a few bytes a second and 200 connections stop half-way; memory while 2 GB are
sent; and how fast a clip comes in beside a plain sink (tests/bench/sink.py), turn by turn in the same run. `--command`
measures another server in front of the same site, for instance "gunicorn portal.wsgi --bind 127.0.0.1:{port}".
Exit status 1 when a goal is missed.
"""

from __future__ import annotations

import argparse
import http.client
import json
import os
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from tests import servers
from tests.bench.bench_site import OURS, ROOT, BenchSite, bench_site
from tests.bench.family import TOKEN

MB = 1024 * 1024
PAGE_GOAL_S, MEMORY_GOAL_MB, SPEED_GOAL = 0.3, 64, 0.6
PIECE = 256 * 1024
TUS_PIECE = 16 * MB  # as static/js/intake/journey.js cuts a clip
BOUNDARY = "----bench7Hs2kQ0d"
FORM_BEGIN = (
    f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="csrfmiddlewaretoken"\r\n\r\n{TOKEN}\r\n'
    f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="clip"; filename="swing.mp4"\r\n'
    "Content-Type: video/mp4\r\n\r\n"
).encode()
FORM_END = f"\r\n--{BOUNDARY}--\r\n".encode()
VISIT_TIMEOUT_S = 10.0
FILM = b"\x00\x00\x00\x20ftypmp42" + bytes(52)


def main(arguments: Sequence[str]) -> int:
    """Measure all three, print them, and compare them with their goals."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.slow_lines", description=__doc__)
    parser.add_argument("--command", default=OURS, help="another server's command, with {port}")
    parser.add_argument("--uploads", type=int, default=200)
    parser.add_argument("--half", type=int, default=200)
    parser.add_argument("--visits", type=int, default=100)
    parser.add_argument("--memory-mb", type=int, default=2048)
    parser.add_argument("--speed-mb", type=int, default=512)
    parser.add_argument("--turns", type=int, default=3)
    asked = parser.parse_args(arguments)
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}: {asked.command}")
    with bench_site(asked.command) as site:
        visit(site)  # the first answer imports every view
        alone = sorted(visit(site) for _ in range(asked.visits))
        say_page("page, nobody else", alone)
        with slow_people(site, asked.uploads, asked.half) as ended:
            among = sorted(visit(site) for _ in range(asked.visits))
        page = say_page(f"page, {asked.uploads} slow uploads, {asked.half} half-open", among)
        print(f"   ended by the site meanwhile: {ended}")
        extra = memory_above_idle(site, asked.memory_mb)
        print(f"{f'memory above idle, {asked.memory_mb} MB sent':<48}{extra:>8.1f} MB   (goal {MEMORY_GOAL_MB} MB)")
        share = speed(site, asked.speed_mb, asked.turns)
    return 0 if page <= PAGE_GOAL_S and extra <= MEMORY_GOAL_MB and share >= SPEED_GOAL else 1


def visit(site: BenchSite) -> float:
    """Seconds until the family's page is here, on a connection of its own; the time-out when it does not come."""
    begin = time.perf_counter()
    line = http.client.HTTPConnection("127.0.0.1", site.port, timeout=VISIT_TIMEOUT_S)
    try:
        line.request("GET", "/family/", headers=site.headers)
        answer = line.getresponse()
        answer.read()
        if answer.status != 200:
            raise RuntimeError(f"the family's page answers {answer.status}")
    except OSError:
        return VISIT_TIMEOUT_S
    finally:
        line.close()
    return time.perf_counter() - begin


def say_page(words: str, times: list[float]) -> float:
    """Print and return the 95th percentile."""
    p95 = times[int(0.95 * (len(times) - 1))]
    print(f"{words:<48}p50 {statistics.median(times) * 1000:>6.0f} ms   p95 {p95 * 1000:>6.0f} ms   (goal 300 ms)")
    return p95


@contextmanager
def slow_people(site: BenchSite, uploads: int, half: int) -> Iterator[dict[str, int]]:
    """While inside, that many are slow; afterwards the dict says how many of each kind the site has ended."""
    ended: dict[str, int] = {}
    words = [str(site.port), upload_address(site), json.dumps(site.headers), str(uploads), str(half)]
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.bench.slow_people", *words],
        cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    if process.stdout.readline().strip() != "ready":
        raise RuntimeError("the slow people could not all connect")
    time.sleep(1)
    try:
        yield ended
    finally:
        said, _ = process.communicate(timeout=30)
        ended.update(json.loads(said))


def upload_address(site: BenchSite) -> str:
    return f"/submissions/{site.submission}/clips/"


def send(site: BenchSite | int, megabytes: int, mark: int) -> float:
    """Seconds until a clip of that size was taken in, by the site or by the sink at that port."""
    port = site if isinstance(site, int) else site.port
    address = "/" if isinstance(site, int) else upload_address(site)
    headers = {"Host": "localhost"} if isinstance(site, int) else site.headers
    headers = {**headers, **form_headers(megabytes * MB)}
    piece = memoryview(os.urandom(PIECE))
    begin = time.perf_counter()
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=300)
    line.putrequest("POST", address, skip_host=True)
    for name, value in headers.items():
        line.putheader(name, value)
    line.endheaders()
    line.send(FORM_BEGIN)
    line.send((FILM + mark.to_bytes(8, "big") + os.urandom(8)).ljust(PIECE, b"\0"))
    for _ in range(megabytes * MB // PIECE - 1):
        line.send(piece)
    line.send(FORM_END)
    _taken(line)
    line.close()
    return time.perf_counter() - begin


def form_headers(size: int) -> dict[str, str]:
    """Of the page's plain form with a film of so many bytes in it."""
    length = len(FORM_BEGIN) + size + len(FORM_END)
    return {"Content-Type": f"multipart/form-data; boundary={BOUNDARY}", "Content-Length": str(length)}


def memory_above_idle(site: BenchSite, megabytes: int) -> float:
    """How far the site's memory rises above where it stood before, while a clip of that size comes in."""
    idle, most, over = site.resident_mb, 0.0, threading.Event()

    def watch() -> None:
        nonlocal most
        while not over.wait(0.02):
            most = max(most, site.resident_mb)

    watcher = threading.Thread(target=watch)
    watcher.start()
    try:
        send(site, megabytes, 0)
    finally:
        over.set()
        watcher.join()
    remove_clips(site)
    return most - idle


def remove_clips(site: BenchSite) -> None:
    """The disk need not hold every clip that was sent."""
    for path in (site.data / "data" / "media" / "originals").iterdir():
        path.unlink()


def speed(site: BenchSite, megabytes: int, turns: int) -> float:
    """The site's speed as a share of the plain sink's, in pieces as the page sends a clip, and whole. Returns the first.

    Each is the median of so many turns, one after the other in each; the sink gets what the site gets, in the same pieces.
    """
    share = _speed(site, megabytes, turns, send_in_pieces, "pieces")
    _speed(site, megabytes, turns, send, "whole")
    return share


def _speed(site: BenchSite, megabytes: int, turns: int, way: Callable[..., float], words: str) -> float:
    shares, ours, plain = [], [], []
    with sink() as port:
        for turn in range(1, turns + 1):
            plain.append(megabytes / way(port, megabytes, turn))
            ours.append(megabytes / way(site, megabytes, turn))
            shares.append(ours[-1] / plain[-1])
            remove_clips(site)
    share = statistics.median(shares)
    rates = f"{statistics.median(ours):.0f} of {statistics.median(plain):.0f} MB/s"
    listed = ", ".join(f"{one:.0%}" for one in shares)
    heading = f"upload beside a plain sink, {megabytes} MB, {words}"
    print(f"{heading:<48}{share:>8.0%}   {rates}; {listed}   (goal {SPEED_GOAL:.0%})")
    return share


def send_in_pieces(site: BenchSite | int, megabytes: int, mark: int) -> float:
    """Seconds until a clip was taken in by tus, in pieces of the page's size on one line, or such pieces by the sink."""
    port = site if isinstance(site, int) else site.port
    body = (FILM + mark.to_bytes(8, "big") + os.urandom(8)).ljust(PIECE, b"\0") + os.urandom(TUS_PIECE - PIECE)
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=300)
    begin = time.perf_counter()
    address, headers = "/", {"Host": "localhost"}
    if isinstance(site, BenchSite):
        headers = {**site.headers, "Tus-Resumable": "1.0.0", "Content-Type": "application/offset+octet-stream"}
        about = {**site.headers, "Tus-Resumable": "1.0.0", "Upload-Length": str(megabytes * MB)}
        line.request("POST", f"/submissions/{site.submission}/uploads/", headers=about)
        address = _taken(line).headers["Location"]
    for at in range(0, megabytes * MB, TUS_PIECE):
        piece = memoryview(body)[: megabytes * MB - at]
        line.request("PATCH", address, piece, {**headers, "Upload-Offset": str(at), "Content-Length": str(len(piece))})
        _taken(line)
    line.close()
    return time.perf_counter() - begin


def _taken(line: http.client.HTTPConnection) -> http.client.HTTPResponse:
    answer = line.getresponse()
    said = answer.read()
    if answer.status not in (201, 204, 302):
        raise RuntimeError(f"not taken in: {answer.status} {said[:300]!r}")
    return answer


@contextmanager
def sink() -> Iterator[int]:
    port = servers.free_port()
    with tempfile.TemporaryDirectory(prefix="cagenote-bench-") as folder:
        process = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.sink", str(port), str(Path(folder) / "body")], cwd=ROOT
        )
        try:
            servers.wait_until(lambda: servers.listens(port), 20)
            yield port
        finally:
            servers.stop(process)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
