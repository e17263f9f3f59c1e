"""Watched clips on disk: small whole numbers instead of fractions, many clips in one file."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from analysis.read.lift import JOINTS
from analysis.read.motion import SEEN

if TYPE_CHECKING:  # reading what is kept needs no graphics
    from .clips import Clip, Watched

__all__ = ["Kept", "gathered", "load", "pack", "save"]


@dataclass(frozen=True)
class Kept:
    """A watched clip; F frames. ``axes`` [3, 3] the field's axes (ahead, up, toward the plate) as rows on the camera's axes.

    ``kind`` 0 swing, 1 recorded, 2 free, 3 an act (named in ``truth``); ``mirrored`` a left-handed
    hitter; joints, hips and bat in metres on the camera's axes (x right, y down, z away). bat_px [F, 2, 2] and bat_chance [F]
    what watching says of the bat (NaN and 0 where it could not look), or None where it was not asked.
    """

    number: int
    kind: int
    mirrored: bool
    person: int
    height: float
    azimuth: float
    size: tuple[int, int]
    focal: float
    axes: np.ndarray
    times: np.ndarray
    keypoints: np.ndarray
    visibility: np.ndarray
    world: np.ndarray
    joints: np.ndarray
    bat: np.ndarray
    contact: float
    truth: dict[str, dict[str, float]] | None
    bat_px: np.ndarray | None = None
    bat_chance: np.ndarray | None = None


def pack(wish: Clip, seen: Watched, truth: dict[str, dict[str, float]] | None = None) -> dict[str, np.ndarray]:
    """The arrays of one clip; ``truth`` of a swing (see `tests.lift.truths`)."""
    places = list(SEEN)
    hips = seen.joints[:, :2].mean(axis=1)
    middle = np.round(np.median(seen.keypoints.reshape(-1, 2), axis=0))
    kind = {"swing": 0, "recorded": 1, "free": 2, "act": 3}[wish.kind]
    flip = -1.0 if wish.mirrored else 1.0
    axes = wish.camera.rotation @ np.diag([1.0, 1.0, flip])
    contact = wish.mover.timings[0].contact if wish.kind == "swing" else np.nan  # type: ignore[attr-defined]
    facts = [
        wish.number,
        kind,
        wish.mirrored,
        wish.person,
        wish.mover.body.height,
        wish.azimuth,
        *wish.size,
        wish.camera.matrix[0, 0],
        contact,
    ]
    looked = {}
    if seen.bat_px is not None and seen.bat_chance is not None:
        looked = {
            "bat_px": _whole((seen.bat_px - middle) * 16),
            "bat_chance": np.where(
                np.isfinite(seen.bat_px).all(axis=(1, 2)), np.clip(np.round(seen.bat_chance * 255), 1, 255), 0
            ).astype(np.uint8),
        }
    return looked | {
        "facts": np.array(facts, np.float64),
        "truth": np.array(json.dumps(truth)),
        "axes": axes.T.astype(np.float32),
        "times": wish.times.astype(np.float32),
        "middle": middle.astype(np.float32),
        "keypoints": _whole((seen.keypoints[:, places] - middle) * 16),
        "visibility": np.round(seen.visibility[:, places] * 255).astype(np.uint8),
        "world": _whole(seen.world[:, places] * 8000),
        "hips": hips.astype(np.float32),
        "joints": _whole((seen.joints - hips[:, None]) * 10000),
        "bat": _whole(np.nan_to_num((seen.bat - hips[:, None]) * 10000))
        if kind == 0
        else np.zeros((0, 2, 3), np.int16),
    }


def _whole(values: np.ndarray) -> np.ndarray:
    return np.clip(np.round(np.nan_to_num(values)), -32768, 32767).astype(np.int16)


def save(path: Path, clips: list[dict[str, np.ndarray]]) -> None:
    """Write clips into one file."""
    np.savez_compressed(path, **{f"{n}/{name}": value for n, clip in enumerate(clips) for name, value in clip.items()})


def gathered(paths: list[Path], every: int) -> list[dict[str, np.ndarray]]:
    """Arrays of each ``every``-th clip of some files, to be saved together."""
    clips = []
    for path in paths:
        with np.load(path) as kept:
            data = {name: kept[name] for name in kept.files}
        count = 1 + max(int(name.split("/")[0]) for name in data)
        clips += [
            {name.split("/")[1]: value for name, value in data.items() if name.startswith(f"{n}/")}
            for n in range(count)
        ]
    return clips[::every]


def load(path: Path) -> Iterator[Kept]:
    """The clips of a file."""
    with np.load(path) as kept:
        data = {name: kept[name] for name in kept.files}
    count = 1 + max(int(name.split("/")[0]) for name in data)
    for n in range(count):
        own = {name.split("/")[1]: value for name, value in data.items() if name.startswith(f"{n}/")}
        number, kind, mirrored, person, height, azimuth, wide, high, focal, contact = own["facts"]
        frames = len(own["times"])
        keypoints = np.full((frames, 33, 2), np.nan)
        visibility, world = np.full((frames, 33), np.nan), np.full((frames, 33, 3), np.nan)
        places = list(SEEN)
        keypoints[:, places] = own["keypoints"] / 16.0 + own["middle"]
        visibility[:, places] = own["visibility"] / 255.0
        world[:, places] = own["world"] / 8000.0
        hips = own["hips"].astype(np.float64)
        bat_px = bat_chance = None
        if "bat_px" in own:
            looked = own["bat_chance"] > 0
            bat_px = np.where(looked[:, None, None], own["bat_px"] / 16.0 + own["middle"], np.nan)
            bat_chance = own["bat_chance"] / 255.0
        yield Kept(
            int(number), int(kind), bool(mirrored), int(person), float(height), float(azimuth), (int(wide), int(high)), float(focal),
            own["axes"].astype(np.float64), own["times"].astype(np.float64), keypoints, visibility, world,
            hips[:, None] + own["joints"].reshape(frames, len(JOINTS), 3) / 10000.0,
            hips[:, None] + own["bat"] / 10000.0 if len(own["bat"]) else np.full((frames, 2, 3), np.nan), float(contact),
            json.loads(str(own["truth"])), bat_px, bat_chance,
        )  # fmt: skip
