"""Send every committed film, and the real ones where they are, in several ways, and write down how far what is read moves.

    python -m tests.repeats [--tracks FOLDER] [FILM ...]

Watching takes half a minute a film and way. With ``--tracks`` the tracks are kept there, and what lies there is not watched again.
Writes `tests/repeats/data/repeats.json`, which `python -m analysis.validate` shows.
"""

from __future__ import annotations

import argparse
import json
import tempfile
from dataclasses import asdict
from pathlib import Path

from analysis.read import Result, read
from analysis.tracks import Tracks, load
from analysis.watch.run import watch_clip

from .spread import repeated
from .variants import VARIANTS, make

ROOT = Path(__file__).parents[2]
OUT = Path(__file__).parent / "data" / "repeats.json"
LATER = {way: variant.later for way, variant in VARIANTS.items()}


def results_of(film: Path, tracks: Path, ways: list[str] | None = None) -> dict[str, Result]:
    """What is read of a film as it is, and in some (or all) ways of sending it; tracks are kept in a folder."""
    results = {"as it is": read(_watched(film, tracks / f"{film.stem}.npz"))}
    for way in ways or VARIANTS:
        kept = tracks / f"{film.stem}-{way.replace(' ', '-')}.npz"
        with tempfile.TemporaryDirectory() as folder:
            other = Path(folder) / film.name
            if not kept.exists():
                make(film, VARIANTS[way], other)
            results[way] = read(_watched(other, kept))
    return results


def _watched(film: Path, kept: Path) -> Tracks:
    if not kept.exists():
        watch_clip(film).save(kept)
    return load(kept)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="How far readings move when a clip is sent in another way.")
    parser.add_argument("films", nargs="*", type=Path)
    parser.add_argument("--tracks", type=Path)
    wish = parser.parse_args()
    every = [*sorted((ROOT / "tests/films/out").glob("*.mp4")), *sorted((ROOT / "../shared/clips").glob("*.mp4"))]
    told = {}
    with tempfile.TemporaryDirectory() as made:
        folder = wish.tracks or Path(made)
        folder.mkdir(parents=True, exist_ok=True)
        for film in wish.films or every:
            told[film.stem] = asdict(repeated(results_of(film, folder), LATER))
            print(film.stem, json.dumps(told[film.stem], ensure_ascii=False), flush=True)
    OUT.parent.mkdir(exist_ok=True)
    OUT.write_text(json.dumps(told, indent=1, ensure_ascii=False) + "\n")


if __name__ == "__main__":
    main()
