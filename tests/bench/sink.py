"""The plain sink that uploads are measured against: read a request's body from a socket, write it to a file, say yes.

`python -m tests.bench.sink PORT FILE`. No parsing beyond the length, no check, no hash, one connection after the other.
"""

from __future__ import annotations

import re
import socket
import sys
from pathlib import Path

PIECE = 256 * 1024


def main(port: int, file: Path) -> None:
    """Serve until killed."""
    with socket.create_server(("127.0.0.1", port)) as server:
        while True:
            connection, _ = server.accept()
            with connection:
                while take(connection, file):
                    connection.sendall(b"HTTP/1.1 204 No Content\r\nContent-Length: 0\r\n\r\n")


def take(connection: socket.socket, file: Path) -> bool:
    """One request, its body written to `file`; False at the end of the connection."""
    head = b""
    while b"\r\n\r\n" not in head:
        piece = connection.recv(PIECE)
        if not piece:
            return False
        head += piece
    header, _, body = head.partition(b"\r\n\r\n")
    length = re.search(rb"(?i)content-length: *(\d+)", header)
    left = int(length[1]) - len(body) if length else 0
    with file.open("wb") as out:
        out.write(body)
        while left > 0 and (piece := connection.recv(PIECE)):
            out.write(piece)
            left -= len(piece)
    return left <= 0


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]))
