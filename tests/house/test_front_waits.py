"""The front while nobody is behind it yet: families read kind words, and nothing of it is kept."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from tests.house.fronts import make_certificate, nginx_words, program
from tests.servers import free_port, listens, stop, wait_until


def test_a_site_that_starts_is_said_to_be_back_in_a_moment(root: Path, tmp_path: Path) -> None:
    openssl = program("openssl")
    if program("nginx") is None or openssl is None:
        pytest.skip("nginx and openssl are not both installed here")
    make_certificate(openssl, tmp_path / "certificates")
    front, words = nginx_words(root, tmp_path, free_port(), tmp_path / "media")
    with (tmp_path / "front.out").open("wb") as out:
        process = subprocess.Popen(words, stdout=out, stderr=out)
    try:
        assert wait_until(lambda: listens(front.https), 30), (tmp_path / "front.out").read_text()
        answer = front.ask("GET", "/join/abc/")
    finally:
        stop(process)
    assert answer.status == 503
    assert int(answer.headers["retry-after"]) > 0
    assert "no-store" in answer.headers["cache-control"]
    assert answer.headers["content-type"].startswith("text/html")
    assert "Back in a moment" in answer.body.decode()
    assert "nginx" not in answer.body.decode()
