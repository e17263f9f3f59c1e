"""Render films and write their truth.

    python -m tests.films.make [NAME ...] [--random FIRST LAST] [--truth-only] [--out FOLDER]

Runs in an environment of its own (requirements.txt beside this file). LP_NUM_THREADS=1 and two processes are the fastest
on two cores.
"""

from __future__ import annotations

import argparse
import json
import os
import time
from pathlib import Path

from .at_random import film_at_random
from .cast import FILMS
from .encode import write
from .film import Film, Play
from .sound import track
from .truth import truth_of

OUT = Path(__file__).parent / "out"
RANDOM_OUT = Path(__file__).parent / "cache" / "random"


def make(film: Film, out: Path, truth_only: bool = False) -> None:
    """Render one film and its truth into the folder ``out``."""
    out.mkdir(parents=True, exist_ok=True)
    play = Play(film)
    truth = truth_of(film, play)
    (out / f"{film.name}.json").write_text(json.dumps(truth, separators=(",", ":")) + "\n")
    if truth_only:
        return
    from .render import frames

    part = out / f".{film.name}.part.mp4"
    samples = track(film, play) if film.sound else None
    write(part, frames(film), play.frame_times(), samples, film.fps, film.quality)
    part.replace(out / f"{film.name}.mp4")


def main() -> None:
    """Command line."""
    os.environ.setdefault("LP_NUM_THREADS", "1")
    parser = argparse.ArgumentParser(description="Render films and write their truth.")
    parser.add_argument(
        "names", nargs="*", default=[], metavar="NAME", help=f"of {', '.join(FILMS)}; all when none is given"
    )
    parser.add_argument("--truth-only", action="store_true", help="leave the picture as it is")
    parser.add_argument("--out", type=Path)
    parser.add_argument(
        "--random", nargs=2, type=int, metavar=("FIRST", "LAST"), help="films drawn at random instead, by seed"
    )
    wish = parser.parse_args()
    unknown = [name for name in wish.names if name not in FILMS]
    if unknown:
        parser.error(f"no film is called {', '.join(unknown)}; there are {', '.join(FILMS)}")
    films = [FILMS[name] for name in wish.names or FILMS]
    if wish.random:
        films = [film_at_random(seed) for seed in range(wish.random[0], wish.random[1] + 1)]
    for film in films:
        start = time.monotonic()
        make(film, wish.out or (RANDOM_OUT if wish.random else OUT), wish.truth_only)
        print(f"{film.name}: {time.monotonic() - start:.0f} s", flush=True)


if __name__ == "__main__":
    main()
