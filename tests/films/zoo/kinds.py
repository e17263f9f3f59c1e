"""What a kind of hostile or odd file is, and the list that all of them are entered in."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

__all__ = ["KINDS", "OK", "Kind", "ffmpeg", "kind"]

OK = "ok"  # decoded to the end: what follows is the search for a hitter
Maker = Callable[[Path], Path | None]


@dataclass(frozen=True)
class Kind:
    """One kind of file: how it is made in a folder of its own, and how watching it may end.

    ends   OK, or codes of refusal
    heavy  takes seconds to make or to open
    """

    name: str
    make: Callable[[Path], Path]
    ends: frozenset[str]
    heavy: bool = False

    def __str__(self) -> str:
        return self.name


KINDS: dict[str, Kind] = {}


def kind(*ends: str, heavy: bool = False, name: str | None = None, suffix: str = ".mp4") -> Callable[[Maker], Maker]:
    """Enter the decorated maker: it gets the path to write to, and may return another one."""

    def enter(maker: Maker) -> Maker:
        called = (name or maker.__name__).replace("_", " ").strip()
        if called in KINDS:
            raise ValueError(f"two kinds are called {called!r}")

        def make(folder: Path) -> Path:
            path = folder / f"{called.replace(' ', '_')}{suffix}"
            return maker(path) or path

        KINDS[called] = Kind(called, make, frozenset(ends), heavy)
        return maker

    return enter


def ffmpeg(path: Path, *arguments: str, inputs: tuple[str, ...] = ()) -> None:
    """Run Debian's ffmpeg: `inputs` and `arguments`, then the file to write. Raises where it can't."""
    command = ["ffmpeg", "-v", "error", "-nostdin", "-y", *inputs, *arguments, f"file:{path}"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(f"ffmpeg: {done.stderr.strip()[-300:]}")
