"""The systemd unit, read by systemd itself where there is one, and held against what it starts."""

from __future__ import annotations

import configparser
import shutil
import subprocess
from pathlib import Path

import pytest


@pytest.fixture
def unit(root: Path) -> Path:
    return root / "setup" / "systemd" / "cagenote.service"


def test_systemd_accepts_the_unit(unit: Path, root: Path, tmp_path: Path):
    analyze = shutil.which("systemd-analyze")
    if analyze is None:
        pytest.skip("systemd is not installed here")
    text = unit.read_text().replace("/opt/cagenote/.venv/bin/python", "/usr/bin/env")  # which is there
    (tmp_path / "cagenote.service").write_text(text)
    told = subprocess.run([analyze, "verify", str(tmp_path / "cagenote.service")], capture_output=True, text=True)
    assert told.returncode == 0, told.stderr
    assert "Unknown" not in told.stderr


def test_it_starts_the_set_and_asks_its_head_alone_to_end(unit: Path):
    read = configparser.RawConfigParser(strict=False)
    read.optionxform = str  # type: ignore[assignment,method-assign]
    read.read_string("\n".join(line for line in unit.read_text().splitlines() if not line.startswith("#")))
    service = read["Service"]
    assert service["ExecStart"].endswith(".venv/bin/python manage.py run")
    assert service["KillMode"] == "mixed"
    assert service["UMask"] == "0077"


def test_its_settings_are_settings(root: Path):
    settings = (root / "portal" / "settings.py").read_text()
    lines = (root / "setup" / "systemd" / "cagenote.env").read_text().splitlines()
    names = [line.partition("=")[0] for line in lines if line and not line.startswith("#")]
    assert names
    assert [name for name in names if f'"{name}"' not in settings] == []
