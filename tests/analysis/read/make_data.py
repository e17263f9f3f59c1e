"""Make the tracks in data/ anew: watch every film of tests/films with the real pose model and keep what reading needs.

    python -m tests.analysis.read.make_data [NAME ...] [--films FOLDER] [--tracks FOLDER]

Watching the seven films takes some minutes; with --tracks, files already watched are taken from there. The films drawn at random
(tests/films/at_random.py) whose tracks lie in data/ are those of seeds 18 to 23, which no weight was fitted to.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from pathlib import Path

import numpy as np

from analysis.tracks import Tracks, load

FILMS = Path(__file__).parents[2] / "films" / "out"
DATA = Path(__file__).parent / "data"
FILM_KEYS = ("name", "view", "hand", "fps", "person")


def slim(tracks: Tracks) -> Tracks:
    """The same tracks with fewer digits than any measurement uses: hundredths of a pixel, tenths of a millimetre."""
    return replace(
        tracks,
        keypoints_px=np.round(tracks.keypoints_px, 2),
        world_m=np.round(tracks.world_m, 4),
        visibility=np.round(tracks.visibility, 3),
        box_px=np.round(tracks.box_px, 1),
        bat_px=np.round(tracks.bat_px, 1),
        sound_level=np.round(tracks.sound_level, 2),
    )


def truth_of(film: Path) -> dict[str, object]:
    """Of a film's truth what the tests compare with."""
    truth = json.loads(film.with_suffix(".json").read_text())
    return {"film": {key: truth["film"][key] for key in FILM_KEYS}, "swings": truth["swings"]}


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Make the tracks that reading is tested with.")
    parser.add_argument("names", nargs="*", metavar="NAME")
    parser.add_argument("--films", type=Path, default=FILMS, help="folder with NAME.mp4 and NAME.json")
    parser.add_argument("--tracks", type=Path, help="folder with NAME.tracks.npz watched before")
    wish = parser.parse_args()
    for film in sorted(wish.films.glob("*.mp4")):
        name = film.stem
        if wish.names and name not in wish.names:
            continue
        if wish.tracks:
            tracks = load(wish.tracks / f"{name}.tracks.npz")
        else:
            from analysis.watch.run import watch_clip

            tracks = watch_clip(film)
        slim(tracks).save(DATA / f"{name}.tracks.npz")
        (DATA / f"{name}.truth.json").write_text(json.dumps(truth_of(film), indent=1) + "\n")
        print(name, flush=True)


if __name__ == "__main__":
    main()
