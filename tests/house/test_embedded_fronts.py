"""`manage.py run` behind the fronts that README.md offers, walked over TLS as families come.

What it makes on an empty folder lies there already (tests/ready.py).
"""

from __future__ import annotations

import json
import os
import socket
import ssl
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path
from typing import Any

import pytest

from tests.house.fronts import Front, caddy_words, make_certificate, nginx_words, program
from tests.ready import lay_site
from tests.servers import free_port, listens, stop, wait_until

pytestmark = pytest.mark.slow
PATIENCE = 300.0
EDGE = "between-two-parts"
MB = 1024 * 1024
FILM = b"\x00\x00\x00\x20ftypmp42" + bytes(52)
FRONTS = {"nginx": nginx_words, "caddy": caddy_words}


@pytest.fixture(scope="module", params=FRONTS)
def front(
    request: Any, root: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Front, dict[str, str], Path]]:
    """A front, what its family and its coach know, and the log of the portal behind it."""
    openssl = program("openssl")
    if program(request.param) is None or openssl is None:
        pytest.skip(f"{request.param} and openssl are not both installed here")
    home = tmp_path_factory.mktemp(request.param)
    make_certificate(openssl, home / "certificates")
    web = free_port()
    front, words = FRONTS[request.param](root, home, web, home / "data" / "media")
    left_out = ("DATABASE_URL", "REDIS_URL", "MEDIA_ROOT", "EMAIL_URL")
    environment = {
        **{name: value for name, value in os.environ.items() if name not in left_out},
        "DATA_DIR": str(home / "data"), "PORT": str(web), "UPLOAD_MAX_MB": "20", "TRUSTED_PROXIES": "1",
        "SECOND_FACTOR": "0",
        "SITE_URL": f"https://localhost:{front.https}", "MEDIA_ACCEL": str(int(request.param == "nginx")),
        "XDG_DATA_HOME": str(home / "caddy"), "XDG_CONFIG_HOME": str(home / "caddy"),
    }  # fmt: skip

    (home / "data").mkdir()
    lay_site(home / "data")

    def said() -> str:
        return "\n".join(path.read_text()[-3000:] for path in home.glob("*.log"))

    with ExitStack() as tidy:
        for name, command in (("site", [sys.executable, "manage.py", "run"]), ("front", words)):
            with (home / f"{name}.log").open("ab") as out:
                process = subprocess.Popen(command, cwd=root, env=environment, stdout=out, stderr=out)
            tidy.callback(stop, process)
        assert wait_until(lambda: listens(web) and listens(front.https), PATIENCE), said()
        told = subprocess.run(
            [sys.executable, "-m", "tests.house.embedded_family"], cwd=root, env=environment, capture_output=True
        )
        assert told.returncode == 0, told.stderr.decode()
        yield front, json.loads(told.stdout), home / "site.log"


def test_the_sign_in_page_comes_with_cookies_for_tls_alone(front):
    answer = front[0].ask("GET", "/accounts/login/")
    assert answer.status == 200, front[2].read_text()
    assert "Secure" in answer.headers["set-cookie"]
    assert answer.headers["strict-transport-security"] == "max-age=31536000"


def test_plain_http_is_sent_to_tls(front):
    with socket.create_connection(("localhost", front[0].http), timeout=10) as line:
        line.sendall(b"GET /join/abc/ HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
        told = line.recv(4096)
    assert told.startswith(b"HTTP/1.1 308")
    assert b"https://localhost" in told


def test_a_clip_comes_through(front):
    asked, family, _ = front
    answer = asked.ask("POST", *as_form(family, FILM + os.urandom(3 * MB)), **about_form(asked, family))
    assert answer.status == 302, answer.body


def as_form(family: dict[str, str], film: bytes) -> tuple[str, bytes]:
    """The address and the body of the page's plain form with a film in it."""
    head = f'--{EDGE}\r\nContent-Disposition: form-data; name="clip"; filename="swing.mp4"\r\nContent-Type: video/mp4\r\n\r\n'
    return f"/submissions/{family['submission']}/clips/", head.encode() + film + f"\r\n--{EDGE}--\r\n".encode()


def about_form(asked: Front, family: dict[str, str]) -> dict[str, str]:
    """Its headers."""
    kind = f"multipart/form-data; boundary={EDGE}"
    return {"Cookie": family["cookie"], "X_CSRFToken": family["token"], "Content_Type": kind, "Referer": url(asked)}


def url(front: Front) -> str:
    return f"https://localhost:{front.https}/"


def test_what_came_before_the_line_broke_is_kept(front):
    """The front hands a body on as it comes, so that the portal has the part of it."""
    asked, family, _ = front
    about = {
        "Cookie": family["cookie"],
        "X_CSRFToken": family["token"],
        "Tus_Resumable": "1.0.0",
        "Referer": url(asked),
    }
    made = asked.ask("POST", f"/submissions/{family['submission']}/uploads/", **about, Upload_Length=str(9 * MB))
    assert made.status == 201, made.body
    place = made.headers["location"]
    lines = [f"PATCH {place} HTTP/1.1", "Host: localhost", f"Content-Length: {9 * MB}", "Upload-Offset: 0"]
    lines += [f"{name.replace('_', '-')}: {value}" for name, value in about.items()]
    lines += ["Content-Type: application/offset+octet-stream", "", ""]
    with asked.line() as line:
        line.sendall("\r\n".join(lines).encode() + FILM + os.urandom(4 * MB))
        wait_until(lambda: False, 1.0)
    assert wait_until(lambda: int(offset(asked, place, about)) >= 3 * MB, 20)


def offset(asked: Front, place: str, about: dict[str, str]) -> str:
    return asked.ask("HEAD", place, **about).headers["upload-offset"]


def test_too_large_is_said_in_the_portals_words(front):
    asked, family, _ = front
    about = {
        "Cookie": family["cookie"],
        "X_CSRFToken": family["token"],
        "Tus_Resumable": "1.0.0",
        "Referer": url(asked),
    }
    answer = asked.ask("POST", f"/submissions/{family['submission']}/uploads/", **about, Upload_Length=str(21 * MB))
    assert answer.status == 413
    assert "larger than 20 MB" in json.loads(answer.body)["words"]


def test_too_large_is_said_also_to_who_sends_it_at_once(front):
    """Caddy hangs up on who still sends when the answer is there; the page never does that (it asks by the length)."""
    asked, family, _ = front
    try:
        answer = asked.ask("POST", *as_form(family, FILM + bytes(21 * MB)), **about_form(asked, family))
    except ssl.SSLError:
        assert asked.name == "caddy"
        return
    assert answer.status == 413
    assert b"larger than 20 MB" in answer.body


def test_media_come_whole_and_in_ranges_to_the_coach_alone(front):
    asked, told, _ = front
    size = int(told["media_length"])
    whole = asked.ask("GET", told["media"], Cookie=told["coach_cookie"])
    assert (whole.status, len(whole.body)) == (200, size)
    assert "x-accel-redirect" not in whole.headers
    part = asked.ask("GET", told["media"], Cookie=told["coach_cookie"], Range="bytes=2-5")
    assert (part.status, part.body, part.headers["content-range"]) == (206, whole.body[2:6], f"bytes 2-5/{size}")
    assert asked.ask("GET", told["media"], Cookie=told["coach_cookie"], Range=f"bytes={size}-").status == 416
    assert asked.ask("GET", told["media"]).status != 200


def test_nothing_but_http_is_spoken(front):
    answer = front[0].ask("GET", "/", Connection="Upgrade", Upgrade="websocket", Sec_WebSocket_Version="13",
                          Sec_WebSocket_Key="dGhlIHNhbXBsZSBub25jZQ==")  # fmt: skip
    assert answer.status != 101


def test_no_log_holds_an_invites_secret(front):
    asked, _, log = front
    assert asked.ask("GET", "/join/Zk3v9QpLxnothing/?from=Zk3v9QpLxmail", Referer="https://x/Zk3v9QpLx").status == 404
    assert wait_until(lambda: "/join/" in log.read_text(), 20)
    assert "Zk3v9QpLx" not in log.read_text() + asked.log.read_text()


HALF_A_FORM = b"POST /accounts/login/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: 900\r\n\r\nhalf"


def test_one_address_cannot_take_all_the_lines(front, request):
    """nginx counts lines itself. Caddy does not; what the portal counts of its own is tested with the portal's server."""
    if "caddy" in request.node.name:
        pytest.skip("Caddy counts no lines of an address")
    asked = front[0]
    with ExitStack() as held:
        for _ in range(100):
            held.enter_context(asked.line()).sendall(HALF_A_FORM)
        assert wait_until(lambda: one_more(asked).startswith(b"HTTP/1.1 429"), 20)
    assert wait_until(lambda: asked.ask("GET", "/").status == 200, 10)


def one_more(asked: Front) -> bytes:
    """What somebody who comes on top is told; nothing within a second where nobody minds."""
    with asked.line() as line:
        line.settimeout(1)
        line.sendall(HALF_A_FORM)
        with suppress(TimeoutError):
            return line.recv(4096)
    return b""
