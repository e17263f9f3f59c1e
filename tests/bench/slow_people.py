"""Many who are slow, in one process: `python -m tests.bench.slow_people PORT ADDRESS HEADERS UPLOADS HALF`.

UPLOADS clips are announced whole and sent a few bytes a second; HALF connections each stop in one of three ways: nothing
sent, half a header, half a form. Prints "ready" once all stand, then one line at the end of its input: how many of each
the site has ended. Everybody comes from an address of their own (127.1.x.y), as families do.
"""

from __future__ import annotations

import json
import selectors
import socket
import sys
import threading
import time

ANNOUNCED = 50_000_000
FORM = b'--slow\r\nContent-Disposition: form-data; name="clip"; filename="swing.mp4"\r\n\r\n'
FILM = b"\x00\x00\x00\x20ftypmp42" + bytes(52)
WAYS = ("silent", "half header", "half form")


def main(port: int, address: str, headers: dict[str, str], uploads: int, half: int) -> None:
    """Connect everybody, drip until standard input ends, and say what became of them."""
    people = {"upload": [upload(port, address, headers, number) for number in range(uploads)]}
    for number, way in enumerate(WAYS):
        count = half // len(WAYS) + (number < half % len(WAYS))
        people[way] = [stopped(port, way, 1000 * (number + 1) + place) for place in range(count)]
    print("ready", flush=True)
    over = threading.Event()
    threading.Thread(target=lambda: (sys.stdin.read(), over.set()), daemon=True).start()
    gone: set[socket.socket] = set()
    while not over.is_set():
        begin = time.monotonic()
        for one in people["upload"]:
            drip(one, gone)
        look(people, gone)
        over.wait(max(0.0, 1.0 - (time.monotonic() - begin)))
    print(json.dumps({way: sum(one in gone for one in ones) for way, ones in people.items()}), flush=True)


def upload(port: int, address: str, headers: dict[str, str], number: int) -> socket.socket:
    about = {**headers, "Content-Type": "multipart/form-data; boundary=slow", "Content-Length": str(ANNOUNCED)}
    lines = [f"POST {address} HTTP/1.1", *(f"{name}: {value}" for name, value in about.items()), "", ""]
    line = connect(port, number)
    line.sendall("\r\n".join(lines).encode() + FORM + FILM)
    return line


def stopped(port: int, way: str, number: int) -> socket.socket:
    line = connect(port, number)
    if way == "half header":
        line.sendall(b"GET / HTTP/1.1\r\nHost: localhost\r\nAccept: text/")
    if way == "half form":
        line.sendall(b"POST /accounts/login/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: 900\r\n")
        line.sendall(b"Content-Type: application/x-www-form-urlencoded\r\n\r\nlogin=lea")
    return line


def connect(port: int, number: int) -> socket.socket:
    source = (f"127.1.{number // 250}.{number % 250 + 1}", 0) if sys.platform == "linux" else None
    line = socket.create_connection(("127.0.0.1", port), timeout=30, source_address=source)
    line.setblocking(False)
    return line


def drip(line: socket.socket, gone: set[socket.socket]) -> None:
    try:
        if line not in gone:
            line.send(b"12345678")
    except BlockingIOError:
        pass
    except OSError:
        gone.add(line)


def look(people: dict[str, list[socket.socket]], gone: set[socket.socket]) -> None:
    """Note who was answered or hung up on."""
    with selectors.DefaultSelector() as selector:
        for one in (one for ones in people.values() for one in ones if one not in gone):
            selector.register(one, selectors.EVENT_READ)
        for key, _ in selector.select(0) if selector.get_map() else ():
            gone.add(key.fileobj)  # type: ignore[arg-type]


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2], json.loads(sys.argv[3]), int(sys.argv[4]), int(sys.argv[5]))
