"""Measuring runs in a watched child: one that grows or falls over ends in words, all else passes through."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from analysis import guard

ROOT = Path(__file__).parents[2]
GROWS = "import time\nheld = []\nwhile True:\n    held.append(bytearray(b'x' * 2**24)); time.sleep(0.001)"


def child(monkeypatch: pytest.MonkeyPatch, code: str) -> None:
    """Let the guard start this code in place of measuring."""
    start = subprocess.Popen
    monkeypatch.setattr(guard.subprocess, "Popen", lambda command: start([sys.executable, "-c", code]))


@pytest.mark.slow
def test_a_child_that_grows_is_ended_in_words(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    child(monkeypatch, GROWS)
    monkeypatch.setattr(guard, "MAX_RESIDENT", 200 * 1024**2)
    assert guard.measure_guarded(["measure", "a.mp4", "--progress-json"]) == 1
    out, err = capsys.readouterr()
    assert json.loads(out)["error"]["code"] == "too_heavy"
    assert "far more than a film from a phone" in err


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGSEGV, signal.SIGABRT, signal.SIGBUS])
def test_a_child_that_crashes_is_told_in_words(
    number: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    child(monkeypatch, f"import os; os.kill(os.getpid(), {int(number)})")
    assert guard.measure_guarded(["measure", "a.mp4", "--progress-json"]) == 1
    assert json.loads(capsys.readouterr().out)["error"]["code"] == "crashed"


@pytest.mark.slow
@pytest.mark.parametrize(("code", "status"), [("raise SystemExit(2)", 2), ("pass", 0)])
def test_another_end_is_passed_on(monkeypatch: pytest.MonkeyPatch, code: str, status: int) -> None:
    child(monkeypatch, code)
    assert guard.measure_guarded(["measure", "a.mp4"]) == status


@pytest.mark.slow
def test_a_child_that_somebody_else_killed_is_not_blamed_on_the_clip(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    child(monkeypatch, "import os; os.kill(os.getpid(), 9)")
    assert guard.measure_guarded(["measure", "a.mp4", "--progress-json"]) == 128 + signal.SIGKILL
    assert capsys.readouterr().out == ""


def test_memory_held_is_told_and_nought_for_a_process_that_is_gone() -> None:
    assert guard.resident(os.getpid()) > 10 * 1024**2
    assert guard.resident(2**22 + 1) == 0


@pytest.mark.slow
@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux tells a child that its parent ended")
def test_the_child_ends_with_its_guard(tmp_path: Path) -> None:
    pipe = tmp_path / "told"
    code = (
        "import sys, os, time; from analysis import guard; guard._die_with(int(sys.argv[1]));"
        f"open({str(pipe)!r}, 'w').write(str(os.getpid())); time.sleep(60)"
    )
    start = f"subprocess.Popen([sys.executable, '-c', {code!r}, str(os.getpid())])"
    waiting = f"import os, subprocess, sys, time; {start}; time.sleep(60)"
    parent = subprocess.Popen([sys.executable, "-c", waiting], cwd=ROOT)
    until = time.monotonic() + 30
    while not (pipe.is_file() and pipe.read_text()) and time.monotonic() < until:
        time.sleep(0.05)
    started = int(pipe.read_text())
    parent.kill()
    parent.wait()
    while guard.resident(started) and time.monotonic() < until:
        time.sleep(0.05)
    assert guard.resident(started) == 0


@pytest.mark.slow
def test_the_guard_itself_loads_nothing_heavy() -> None:
    code = "import sys, analysis.guard; sys.exit(str(sorted({'numpy', 'av', 'cv2'} & set(sys.modules))))"
    done = subprocess.run([sys.executable, "-c", code], check=False, cwd=ROOT, capture_output=True, text=True)
    assert done.stderr.strip() == "[]"
