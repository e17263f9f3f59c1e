"""The shipped fronts, started with addresses, names and certificates of a test's own, and a way to ask through them."""

from __future__ import annotations

import http.client
import os
import shutil
import socket
import ssl
import subprocess
from dataclasses import dataclass
from pathlib import Path

from tests.servers import free_port

SBIN = f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"  # where Debian keeps what a service runs


def program(name: str) -> str | None:
    return shutil.which(name, path=SBIN)


def make_certificate(openssl: str, folder: Path) -> None:
    """A certificate for localhost, signed by itself."""
    folder.mkdir(exist_ok=True)
    command = [openssl, "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=localhost"]
    command += ["-keyout", str(folder / "privkey.pem"), "-out", str(folder / "fullchain.pem")]
    subprocess.run(command, check=True, capture_output=True)


def moved(text: str, changes: dict[str, str]) -> str:
    """The text with each change made; a change that finds nothing is a fault."""
    for old, new in changes.items():
        assert old in text, old
        text = text.replace(old, new)
    return text


@dataclass
class Front:
    """A front that listens on `https` and `http`, and what it and the portal have written down."""

    name: str
    https: int
    http: int
    log: Path

    def ask(self, method: str, path: str, body: bytes = b"", **headers: str) -> Answer:
        """One request over TLS on a line of its own; underscores in names of headers are dashes."""
        line = http.client.HTTPSConnection(
            "localhost", self.https, timeout=60, context=ssl._create_unverified_context()
        )
        try:
            line.request(method, path, body or None, {name.replace("_", "-"): value for name, value in headers.items()})
            answer = line.getresponse()
            return Answer(answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read())
        finally:
            line.close()

    def line(self) -> ssl.SSLSocket:
        """A bare line over TLS."""
        bare = socket.create_connection(("localhost", self.https), timeout=60)
        return ssl._create_unverified_context().wrap_socket(bare, server_hostname="localhost")


@dataclass(frozen=True)
class Answer:
    status: int
    headers: dict[str, str]
    body: bytes


def nginx_words(root: Path, home: Path, web: int, media: Path) -> tuple[Front, list[str]]:
    """nginx around setup/front/nginx-site.conf, its part for media by X-Accel-Redirect switched on."""
    front = Front("nginx", free_port(), free_port(), home / "front.log")
    site = (root / "setup" / "front" / "nginx-site.conf").read_text()
    head, _, tail = site.partition("    # location /sealed-media/ {")
    tail = "\n".join(
        line.replace("    # ", "    ", 1) for line in ("    # location /sealed-media/ {" + tail).splitlines()
    )
    site = moved(
        head + tail,
        {
            "listen 80;": f"listen {front.http};",
            "listen [::]:80;": "",
            "listen 443 ssl http2;": f"listen {front.https} ssl http2;",
            "listen [::]:443 ssl http2;": "",
            "server_name swings.example.org;": "server_name localhost;",
            "/etc/letsencrypt/live/swings.example.org/": f"{home}/certificates/",
            "http://127.0.0.1:8000;": f"http://127.0.0.1:{web};",
            "/var/lib/cagenote/media/": f"{media}/",
            "/var/log/nginx/cagenote.log": str(front.log),
            "/var/log/nginx/cagenote-error.log": str(front.log),
        },
    )
    (home / "site.conf").write_text(site)
    names = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    around = "daemon off;" + (" user root;" if os.geteuid() == 0 else "")
    around += f"\npid {home}/nginx.pid;\nevents {{ worker_connections 1024; }}\nhttp {{\n"
    around += "".join(f"{name}_temp_path {home}/{name};\n" for name in names)
    (home / "nginx.conf").write_text(f"{around}include {home}/site.conf;\n}}\n")
    return front, [str(program("nginx")), "-e", str(front.log), "-c", str(home / "nginx.conf")]


def caddy_words(root: Path, home: Path, web: int, media: Path) -> tuple[Front, list[str]]:
    """Caddy with setup/front/Caddyfile and a certificate of our own, as its head describes."""
    front = Front("caddy", free_port(), free_port(), home / "front.log")
    text = moved(
        (root / "setup" / "front" / "Caddyfile").read_text(),
        {
            "swings.example.org {": f"localhost {{\n\ttls {home}/certificates/fullchain.pem {home}/certificates/privkey.pem",
            "\tservers {": f"\tadmin off\n\thttp_port {front.http}\n\thttps_port {front.https}\n\tservers {{",
            "127.0.0.1:8000\n}": f"127.0.0.1:{web}\n}}",
        },
    )
    (home / "Caddyfile").write_text(text)
    return front, [str(program("caddy")), "run", "--config", str(home / "Caddyfile"), "--adapter", "caddyfile"]
