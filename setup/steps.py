"""What every step uses: stamps that tell whether it is still fresh, one line of progress, quiet commands."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

LAST_LINES = 15


class Trouble(Exception):
    """A step that cannot be done, in words for the person at the keyboard."""


class Stamps:
    """Remembers, in one JSON file, from which inputs each step was last done."""

    def __init__(self, file: Path) -> None:
        self.file = file

    def _read(self) -> dict[str, str]:
        try:
            held = json.loads(self.file.read_text())
        except (OSError, ValueError):
            return {}
        return held if isinstance(held, dict) else {}

    def fresh(self, step: str, key: str) -> bool:
        return self._read().get(step) == key

    def write(self, step: str, key: str) -> None:
        """Only called when a step is done, by writing beside and renaming: a broken-off step is done again."""
        held = {**self._read(), step: key}
        beside = self.file.with_suffix(".new")
        beside.write_text(json.dumps(held, indent=1, sort_keys=True))
        beside.replace(self.file)


def content_key(*parts: Path | str) -> str:
    """A hash over the contents of files and over plain words; a missing file counts as empty."""
    digest = hashlib.sha256()
    for part in parts:
        data = part.encode() if isinstance(part, str) else part.read_bytes() if part.is_file() else b""
        digest.update(len(data).to_bytes(8, "big") + data)
    return digest.hexdigest()


@contextmanager
def step(words: str) -> Iterator[None]:
    """Print `words` now and the time it took afterwards, on one line."""
    print(f"Set-up: {words} ... ", end="", flush=True)
    begin = time.monotonic()
    try:
        yield
    except BaseException:
        print("not done", flush=True)
        raise
    print(f"{time.monotonic() - begin:.0f} s", flush=True)


def run(command: Sequence[str | Path], *, cwd: Path | None = None, hint: str = "", **environment: str) -> None:
    """Run a command without its chatter. Raises Trouble with the last lines it printed when it fails."""
    words = [str(word) for word in command]
    try:
        done = subprocess.run(
            words,
            cwd=cwd,
            env={**os.environ, **environment},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
        )
    except OSError as error:
        raise Trouble(f"Could not start {words[0]}: {error.strerror}. {hint}".strip()) from error
    if done.returncode:
        tail = "\n".join(f"    {line}" for line in done.stdout.strip().splitlines()[-LAST_LINES:])
        raise Trouble(f"This command failed:\n  {' '.join(words)}\nIts last lines:\n{tail}\n{hint}".rstrip())
