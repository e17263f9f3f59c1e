"""Run `analysis measure` on one clip, as one fenced process, and tell how it ended."""

from __future__ import annotations

import json
import os
import selectors
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings

LAUNCH = Path(__file__).with_name("launch.py")
LARGEST_FILE = 2 * 1024**3
LONGEST_LINE = 64 * 1024
# Refusals that the site is to blame for, or may be: a model or a file that is missing, a disk that takes no more, a crash.
# No family is told that its clip is bad for these; the clip is tried again, and the log says why.
OURS = {"not_set_up", "not_written", "not_there", "crashed"}
ENVIRONMENT = ("PATH", "HOME", "LANG", "LC_ALL", "VIRTUAL_ENV", "LD_LIBRARY_PATH")  # no keys, no database


@dataclass(frozen=True)
class Measured:
    """Exit 0: the products lie in the folder."""


@dataclass(frozen=True)
class Refused:
    """Exit 1: the clip can't be measured, with the reason in plain words."""

    code: str
    words: str


@dataclass(frozen=True)
class Stopped:
    """The process ended in any other way: killed, out of memory, a fault of ours. `trace` is for the log."""

    status: int
    trace: str


@dataclass(frozen=True)
class Overtime:
    """The wall clock ran out."""


Ending = Measured | Refused | Stopped | Overtime
Listener = Callable[[dict[str, Any] | None], None]


def measure(clip: Path, folder: Path, listener: Listener) -> Ending:
    """Measure `clip` into `folder` (products/, tracks.npz, result.json).

    `listener` gets each line of progress, and None at least every few seconds in between; what it raises ends the
    process and is passed on. The process and all it started are gone when this returns.
    """
    products = folder / "products"
    products.mkdir()
    command = [*settings.ANALYSIS_COMMAND, "measure", str(clip), "--progress-json"]
    command += [
        "--products",
        str(products),
        "--tracks",
        str(folder / "tracks.npz"),
        "--json",
        str(folder / "result.json"),
    ]
    with (folder / "errors.txt").open("w+b") as errors, _started(command, folder, errors) as process:
        try:
            refusal = _follow(process, listener)
        except _OutOfTime:
            return Overtime()
        return _ending(process.wait(), refusal, _tail(errors))


class _OutOfTime(Exception):
    pass


@contextmanager
def _started(command: list[str], folder: Path, errors: Any) -> Iterator[subprocess.Popen[bytes]]:
    """The fenced process in a group of its own, killed as a group at the end, however that comes."""
    cpu_seconds = settings.MEASURE_TIME_LIMIT_S * (os.cpu_count() or 1)
    limits = (os.getpid(), settings.MEASURE_MEMORY_MB * 2**20, cpu_seconds, LARGEST_FILE, settings.MEASURE_NICENESS)
    process = subprocess.Popen(
        [sys.executable, "-I", str(LAUNCH), *map(str, limits), *command],
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=errors,
        cwd=settings.BASE_DIR, env=_environment(folder), start_new_session=True,
    )  # fmt: skip
    try:
        yield process
    finally:
        with suppress(ProcessLookupError, PermissionError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        assert process.stdout is not None
        process.stdout.close()


def _environment(folder: Path) -> dict[str, str]:
    known = {name: value for name, value in os.environ.items() if name in ENVIRONMENT or name.startswith("CAGENOTE_")}
    if settings.POSE_MODEL:
        known["CAGENOTE_POSE_MODEL"] = settings.POSE_MODEL
    return {**known, "TMPDIR": str(folder), "PYTHONUNBUFFERED": "1"}


def _follow(process: subprocess.Popen[bytes], listener: Listener) -> dict[str, Any] | None:
    """Pass on progress until the process closes its output. Returns the error it named, or None."""
    refusal: dict[str, Any] | None = None
    end = time.monotonic() + settings.MEASURE_TIME_LIMIT_S
    for line in _lines(process, pause=min(5.0, settings.MEASURE_STALE_S / 6), end=end):
        if isinstance(line, dict) and isinstance(line.get("error"), dict):
            refusal = line["error"]
        else:
            listener(line)
    return refusal


def _lines(process: subprocess.Popen[bytes], pause: float, end: float) -> Iterator[dict[str, Any] | None]:
    """Each JSON object of the output, and None after every `pause` seconds of silence. Raises _OutOfTime at `end`."""
    assert process.stdout is not None
    waiting = b""
    with selectors.DefaultSelector() as ready:
        ready.register(process.stdout, selectors.EVENT_READ)
        while True:
            if time.monotonic() > end:
                raise _OutOfTime
            if not ready.select(pause):
                yield None
                continue
            piece = os.read(process.stdout.fileno(), LONGEST_LINE)
            if not piece:
                return
            *lines, waiting = (waiting + piece).split(b"\n")
            waiting = waiting[-LONGEST_LINE:]
            yield from (_object(line) for line in lines)


def _object(line: bytes) -> dict[str, Any] | None:
    """A line of progress; what is no JSON object counts as a sign of life only."""
    try:
        value = json.loads(line)
    except ValueError:
        return None
    return value if isinstance(value, dict) and value else None


def _tail(errors: Any) -> str:
    errors.seek(0, os.SEEK_END)
    errors.seek(max(0, errors.tell() - 4000))
    return bytes(errors.read()).decode(errors="replace").strip()


def _ending(status: int, refusal: dict[str, Any] | None, trace: str) -> Ending:
    if status == 0:
        return Measured()
    if refusal and refusal.get("code") in OURS:
        return Stopped(status, f"{refusal['code']}: {refusal.get('words')}\n{trace}")
    if status == 1 and refusal and refusal.get("words"):
        return Refused(str(refusal.get("code") or "unreadable"), str(refusal["words"]))
    return Stopped(status, trace)
