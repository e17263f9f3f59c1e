"""One process of the embedded set: started in a group of its own, its lines passed on, started again when it dies."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

from portal.measuring.runner import LAUNCH

BACKOFF_S = (1, 2, 5, 10, 30)
SETTLED_S = 60.0  # who ran for so long begins again with the shortest pause
NO_LIMIT = "0"


@dataclass(frozen=True)
class Recipe:
    """What to run. `prepare` is called before every start; `patience_s` is how long it may take to stop once asked."""

    name: str
    command: list[str]
    prepare: Callable[[], None] = lambda: None
    patience_s: float = 10.0
    stop_signal: signal.Signals = signal.SIGTERM


class Child:
    def __init__(self, recipe: Recipe, say: Callable[[str, str], None]) -> None:
        self.recipe = recipe
        self.deaths = 0
        self._say = say
        self._process: subprocess.Popen[str] | None = None
        self._started = 0.0
        self._next_start = 0.0
        self._is_stopping = False

    @property
    def is_running(self) -> bool:
        return self._process is not None and self._process.poll() is None

    @property
    def age_s(self) -> float:
        return time.monotonic() - self._started

    def tend(self) -> None:
        """Start it if it is not running and its pause is over; note a death. Call this again and again."""
        if self._process is not None and self._process.poll() is not None:
            self._note_death(self._process.returncode)
        if self._process is None and time.monotonic() >= self._next_start:
            self.start()

    def start(self) -> None:
        self._is_stopping = False
        self.recipe.prepare()
        fence = [sys.executable, "-I", str(LAUNCH), str(os.getpid()), NO_LIMIT, NO_LIMIT, NO_LIMIT, "0"]
        self._process = subprocess.Popen(
            [*fence, *self.recipe.command], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
            text=True, errors="replace", bufsize=1, start_new_session=True,
        )  # fmt: skip
        self._started = time.monotonic()
        threading.Thread(target=self._pass_on, args=(self._process,), daemon=True).start()

    def _pass_on(self, process: subprocess.Popen[str]) -> None:
        assert process.stdout is not None
        for line in process.stdout:
            if line.strip() and not self._is_stopping:
                self._say(self.recipe.name, line.rstrip())

    def _note_death(self, status: int) -> None:
        self.deaths = 0 if self.age_s > SETTLED_S else self.deaths
        pause = BACKOFF_S[min(self.deaths, len(BACKOFF_S) - 1)]
        self._say(self.recipe.name, f"ended with status {status}; starting it again in {pause} s")
        self._next_start = time.monotonic() + pause
        self.deaths += 1
        self.kill()
        self._process = None

    def ask_to_stop(self) -> None:
        self._is_stopping = True  # its last words would only alarm
        if self._process is not None and self._process.poll() is None:
            self._process.send_signal(self.recipe.stop_signal)

    def wait(self, seconds: float) -> None:
        if self._process is not None:
            with suppress(subprocess.TimeoutExpired):
                self._process.wait(max(0.0, seconds))

    def kill(self) -> None:
        """End the whole group, also what outlived its head."""
        if self._process is not None:
            with suppress(ProcessLookupError, PermissionError):
                os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait()

    def stop(self) -> None:
        self.ask_to_stop()
        self.wait(self.recipe.patience_s)
        self.kill()
        self._process = None
