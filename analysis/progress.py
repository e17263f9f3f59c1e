"""Tell how far measuring has come: lines for a person, JSON lines for a program."""

from __future__ import annotations

import json
import sys
import time
from typing import Protocol

STAGES = {
    "opening": "opening the clip",
    "finding": "finding the hitter",
    "watching": "watching the swing",
    "reading": "reading the checkpoints",
    "copying": "making the review copy",
}
EVERY_S = 0.25


class Reporter(Protocol):
    """Whoever is told about progress, the end, and a failure."""

    def __call__(self, stage: str, done: int, total: int) -> None:
        """Take note that `done` of `total` steps of `stage` are done."""

    def finish(self) -> None:
        """Take note that all is done."""

    def fail(self, code: str, words: str) -> None:
        """Take note of a failure."""


class _Paced:
    """Passes on the first and last step of a stage, and the others not too often."""

    def __init__(self) -> None:
        self._stage, self._told = "", 0.0

    def due(self, stage: str, done: int, total: int) -> bool:
        now = time.monotonic()
        if stage == self._stage and done < total and now - self._told < EVERY_S:
            return False
        self._stage, self._told = stage, now
        return True


class LineProgress:
    """One line on stderr, written over; only stage names where stderr is no terminal."""

    def __init__(self) -> None:
        """Start silent."""
        self._paced, self._stage, self._live = _Paced(), "", sys.stderr.isatty()

    def __call__(self, stage: str, done: int, total: int) -> None:
        """Show the stage and how far it is."""
        if self._live and self._paced.due(stage, done, total):
            share = f" {done / total:4.0%}" if total else ""
            print(f"\r\x1b[K{STAGES.get(stage, stage)}{share}", end="", file=sys.stderr, flush=True)
        elif not self._live and stage != self._stage:
            print(STAGES.get(stage, stage), file=sys.stderr, flush=True)
        self._stage = stage

    def finish(self) -> None:
        """Clear the line."""
        if self._live:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)

    def fail(self, code: str, words: str) -> None:
        """Say the reason."""
        self.finish()
        print(words, file=sys.stderr)


class JsonProgress:
    """JSON lines on stdout; a failure is also said on stderr."""

    def __init__(self) -> None:
        """Start silent."""
        self._paced = _Paced()

    def __call__(self, stage: str, done: int, total: int) -> None:
        """Write the stage and how far it is."""
        if self._paced.due(stage, done, total):
            print(json.dumps({"stage": stage, "done": done, "total": total}), flush=True)

    def finish(self) -> None:
        """Write nothing: the exit status says it."""

    def fail(self, code: str, words: str) -> None:
        """Write the failure."""
        print(json.dumps({"error": {"code": code, "words": words}}, ensure_ascii=False), flush=True)
        print(words, file=sys.stderr)
