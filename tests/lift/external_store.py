"""Films that another generator made, on disk: their tracks as watched, slim, beside what is true in them.

    python -m tests.lift.external_store --tracks FOLDER --truths FOLDER --out FILE

packs NN.tracks.npz and NN.json of each film into one file. Frames in which nobody was watched take no room, and places are kept as
differences from frame to frame. Left out is what no reading goes by: keypoints that are not lifted, the hitter's box, the ball, how
loud the sound is between its peaks.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from analysis.read.motion import SEEN
from analysis.tracks import KEYPOINT_COUNT, Tracks
from analysis.tracks import load as load_tracks

from .store import save

__all__ = ["FilmTruth", "load", "pack", "truth_of"]

PX, METRE, SHARE, CHANCE = (
    16,
    8000,
    255,
    65535,
)  # steps to a pixel, a metre of the learned body, a visibility of 1, a chance of 1


@dataclass(frozen=True)
class FilmTruth:
    """What is true of a film.

    kind       "swing", or what is done instead of one
    person     number of the hitter's body (`tests.lift.people`)
    azimuth    where the camera stood, degrees, for a right-handed hitter: 90 chest side, -90 back side, 0 at the pitcher's
    slowdown   how many times slower than life the film runs
    stride     how the front foot goes, and landing: on the toe, flat or on the heel
    instants   film time by name, s; empty where there is no swing
    readings   by checkpoint, in its unit, times in ms of life; empty where there is no swing
    """

    number: int
    kind: str
    person: int
    hand: str
    view: str
    azimuth: float
    slowdown: int
    stride: str
    landing: str
    instants: dict[str, float]
    readings: dict[str, float]


def truth_of(told: dict[str, Any]) -> FilmTruth:
    """The truth of a film, from what its generator wrote about it."""
    swing = told["kind"] == "swing"
    return FilmTruth(
        told["num"],
        told["kind"],
        told["person"],
        told["hand"],
        told["view"],
        round(told["az"], 1),
        told["slow"],
        told["style"],
        told["land"],
        {name: round(time, 4) for name, time in told["instants"].items()} if swing else {},
        {name: round(value, 3) for name, value in told["readings"].items()} if swing else {},
    )


def pack(tracks: Tracks, truth: FilmTruth) -> dict[str, np.ndarray]:
    """The arrays of one film, whose frames must come at a steady rate from time 0."""
    rate = tracks.clip["nominal_fps"]
    if np.abs(tracks.time_s - np.arange(tracks.frames) / rate).max() > 1e-6:
        raise ValueError(f"film {truth.number} does not run at a steady {rate} frames a second")
    places = tracks.keypoints_px[:, SEEN]
    watched, looked = (np.asarray(np.isfinite(rows).all(axis=(1, 2))) for rows in (places, tracks.bat_px))
    middle = np.round(np.median(places[watched].reshape(-1, 2), axis=0))
    facts = asdict(truth) | {
        "rate": rate,
        "size": [tracks.clip["width"], tracks.clip["height"]],
        "sound": tracks.clip["has_sound"],
        "watch": tracks.watch["version"],
        "middle": middle.tolist(),
        "plate": np.nan_to_num(tracks.plate_px).round(2).tolist() if tracks.plate_confidence else None,
        "plate_confidence": round(tracks.plate_confidence, 4),
        "peaks": np.stack([tracks.sound_peaks_s, tracks.sound_peak_strength], axis=1).round(5).tolist(),
    }
    moved: dict[str, np.ndarray] = {"camera": tracks.camera} if np.abs(tracks.camera - np.eye(3)).max() > 0 else {}
    rows: dict[str, np.ndarray] = {
        "facts": np.array(json.dumps(facts)),
        "watched": watched,
        "keypoints": _steps((places[watched] - middle) * PX),
        "visibility": np.round(tracks.visibility[watched][:, SEEN] * SHARE).astype(np.uint8),
        "world": _steps(tracks.world_m[watched][:, SEEN] * METRE),
        "looked": looked,
        "bat": _steps((tracks.bat_px[looked] - middle) * PX),
        "chance": (tracks.bat_confidence[looked] * CHANCE).astype(np.uint16),
    }
    return rows | moved


def load(path: Path) -> Iterator[tuple[Tracks, FilmTruth]]:
    """Tracks and truth of each film of a file."""
    with np.load(path) as kept:
        data = {name: kept[name] for name in kept.files}
    for n in range(1 + max(int(name.split("/")[0]) for name in data)):
        own = {name.split("/")[1]: value for name, value in data.items() if name.startswith(f"{n}/")}
        facts = json.loads(str(own["facts"]))
        truth = FilmTruth(**{name: facts[name] for name in FilmTruth.__dataclass_fields__})
        yield _tracks(own, facts), truth


def _tracks(own: dict[str, np.ndarray], facts: dict[str, Any]) -> Tracks:
    """Tracks from the arrays and facts of one film."""
    watched, looked, middle = own["watched"], own["looked"], facts["middle"]
    frames, rate, (width, height) = len(watched), facts["rate"], facts["size"]
    clip = {
        "name": f"{facts['number']:02d}", "sha256": "0" * 64, "width": width, "height": height, "rotation": 0, "codec": "h264",
        "container": "mp4", "frames": frames, "duration_s": frames / rate, "nominal_fps": rate, "measured_fps": rate,
        "variable_rate": False, "capture_fps": None, "has_sound": facts["sound"],
    }  # fmt: skip
    peaks = np.array(facts["peaks"]).reshape(-1, 2)
    plate = np.full((5, 2), np.nan) if facts["plate"] is None else np.array(facts["plate"])
    chance = np.zeros(frames, np.float32)
    chance[looked] = own["chance"] / CHANCE
    return Tracks(
        clip=clip,
        watch={"version": facts["watch"]},
        time_s=np.arange(frames) / rate,
        keypoints_px=_in_frames(_added(own["keypoints"]) / PX + middle, watched),
        visibility=_in_frames(own["visibility"] / SHARE, watched),
        world_m=_in_frames(_added(own["world"]) / METRE, watched),
        box_px=np.full((frames, 4), np.nan, np.float32),
        camera=own.get("camera", np.repeat(np.eye(3, dtype=np.float32)[None], frames, axis=0)),
        bat_px=_spread(_added(own["bat"]) / PX + middle, looked),
        bat_confidence=chance,
        ball_px=np.full((frames, 2), np.nan, np.float32),
        sound_peaks_s=peaks[:, 0],
        sound_peak_strength=peaks[:, 1].astype(np.float32),
        plate_px=plate.astype(np.float32),
        plate_confidence=facts["plate_confidence"],
    )


def _steps(values: np.ndarray) -> np.ndarray:
    """Differences from one row to the next, in whole steps; where one does not fit it wraps, and wraps back when they are added."""
    whole = np.round(values)
    if whole.size and np.abs(whole).max() > np.iinfo(np.int16).max:
        raise ValueError(f"a place is {np.abs(whole).max():.0f} steps away, more than can be kept")
    return np.diff(whole.astype(np.int16), axis=0, prepend=np.zeros((1, *whole.shape[1:]), np.int16))


def _added(steps: np.ndarray) -> np.ndarray:
    """What `_steps` took the differences of."""
    return np.cumsum(steps, axis=0, dtype=np.int16)


def _spread(rows: np.ndarray, where: np.ndarray) -> np.ndarray:
    """Rows put into the frames [F] in which they were seen; NaN in the others."""
    spread = np.full((len(where), *rows.shape[1:]), np.nan, np.float32)
    spread[where] = rows
    return spread


def _in_frames(rows: np.ndarray, watched: np.ndarray) -> np.ndarray:
    """Rows of the keypoints that are lifted, put among all 33 and into the frames [F] in which the hitter was watched."""
    every = np.full((len(rows), KEYPOINT_COUNT, *rows.shape[2:]), np.nan)
    every[:, SEEN] = rows
    return _spread(every, watched)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Pack films that another generator made.")
    parser.add_argument("--tracks", type=Path, required=True, help="folder of NN.tracks.npz")
    parser.add_argument("--truths", type=Path, required=True, help="folder of NN.json")
    parser.add_argument("--out", type=Path, required=True)
    wish = parser.parse_args()
    films = []
    for path in sorted(wish.tracks.glob("*.tracks.npz")):
        told = json.loads((wish.truths / path.name.replace(".tracks.npz", ".json")).read_text())
        films.append(pack(load_tracks(path), truth_of(told)))
    save(wish.out, films)
    print(f"{len(films)} films, {wish.out.stat().st_size / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
