"""The front's configuration: read by a parser that knows nginx's directives, and by nginx itself where there is one."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import crossplane
import pytest

from portal.media import ACCEL_PREFIX
from tests.house.fronts import make_certificate, program


@pytest.fixture
def config(root: Path, tmp_path: Path) -> Path:
    """The shipped file with the one folder that only the container has moved to the test's."""
    (tmp_path / "mime.types").write_text("types { }\n")
    (tmp_path / "certificates").mkdir()
    text = (root / "setup" / "front" / "nginx.conf").read_text().replace("/etc/nginx/", f"{tmp_path}/")
    file = tmp_path / "nginx.conf"
    file.write_text(text)
    return file


def test_parser_knows_every_directive_at_its_place(config: Path):
    found = crossplane.parse(str(config), strict=True)
    unknown = [fault["error"] for fault in found["errors"] if fault["line"] not in lines_of_map(config)]
    assert unknown == []


def lines_of_map(config: Path) -> range:
    """The body of the map block holds patterns, not directives; the parser takes them for unknown ones."""
    lines = config.read_text().splitlines()
    first = next(number for number, line in enumerate(lines, 1) if line.strip().startswith("map "))
    return range(first + 1, first + lines[first:].index("    }") + 1)


def test_parser_would_notice_a_misspelt_directive(config: Path):
    config.write_text(config.read_text().replace("client_max_body_size", "client_maximal_body_size"))
    assert "unknown directive" in crossplane.parse(str(config), strict=True)["errors"][-1]["error"]


def test_media_location_is_the_one_the_portal_names_and_internal(root: Path):
    text = (root / "setup" / "front" / "nginx.conf").read_text()
    block = re.search(rf"location {re.escape(ACCEL_PREFIX)} \{{([^}}]*)\}}", text)
    assert block is not None
    assert "internal;" in block[1]
    assert "alias /media/;" in block[1]


def test_nginx_itself_accepts_the_file(config: Path, tmp_path: Path):
    nginx, openssl = program("nginx"), program("openssl")
    if nginx is None or openssl is None:
        pytest.skip("nginx and openssl are not both installed here; the parser above has read the file")
    make_certificate(openssl, tmp_path / "certificates")
    names = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    folders = "".join(f"{name}_temp_path {tmp_path}/{name};\n" for name in names)
    text = config.read_text().replace("user nginx;", "").replace("/tmp/nginx.pid", f"{tmp_path}/nginx.pid")
    config.write_text(text.replace("http {", f"http {{\n{folders}"))
    told = subprocess.run([nginx, "-t", "-c", str(config)], capture_output=True, text=True)
    assert told.returncode == 0, told.stderr


def test_the_site_file_knows_every_directive_at_its_place(root: Path, tmp_path: Path):
    """The file for a machine's own nginx, inside the block in which Debian includes it."""
    text = (root / "setup" / "front" / "nginx-site.conf").read_text()
    file = tmp_path / "nginx.conf"
    file.write_text(f"events {{ }}\nhttp {{\n{text}\n}}\n")
    body_of_map = {text[: text.index(line)].count("\n") + 3 for line in ("~^(?<cagenote_part>", "default -;")}
    found = crossplane.parse(str(file), strict=True)
    assert [fault["error"] for fault in found["errors"] if fault["line"] not in body_of_map] == []


@pytest.mark.parametrize("name", ["nginx.conf", "nginx-site.conf", "Caddyfile"])
def test_every_front_lets_through_a_little_more_than_the_portal_takes(root: Path, name: str):
    from django.conf import settings

    text = (root / "setup" / "front" / name).read_text()
    limit = int(re.findall(r"(?:client_max_body_size|max_size) (\d+)", text)[0]) * 1024 * 1024
    assert settings.UPLOAD_MAX_BYTES < limit <= 1.1 * settings.UPLOAD_MAX_BYTES
