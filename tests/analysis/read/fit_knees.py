"""Fit the weights of analysis/read/knees.py to films with exact truth, and judge them on films left out of the fit.

    python -m tests.analysis.read.fit_knees FOLDER ...

Each folder holds NAME.tracks.npz beside the film's truth NAME.json (tests/films). Prints, for each instant, the weights fitted to
all films and the error when each film is left out in turn.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from analysis.read.geometry import bend
from analysis.read.knees import QUANTITIES, leg_lengths
from analysis.read.motion import clean_motion
from analysis.read.sides import side_of
from analysis.read.signals import signals_of
from analysis.tracks import load

LEGS = {"set_up": ("front", "rear"), "foot_down": ("front", "rear"), "contact": ("front",)}
CHOSEN = {"set_up": ("flat", "height"), "foot_down": ("hang", "apart"), "contact": ("solid", "thigh", "back")}
PENALTY = {"set_up": 0.1, "foot_down": 0.1, "contact": 0.3}  # of ridge regression, in deviations of each quantity


@dataclass(frozen=True)
class Seen:
    """One knee at one instant of one film: what the picture shows and the true bend."""

    film: str
    instant: str
    end: str
    shown: dict[str, float]
    bend: float


def knees_of(tracks: Path, truth: Path) -> Iterator[Seen]:
    """The knees of a film taken from a side, at the true instants."""
    told: dict[str, Any] = json.loads(truth.read_text())
    view, hand = told["film"]["view"], told["film"]["hand"]
    if view not in ("chest_side", "back_side"):
        return
    space = signals_of(clean_motion(load(tracks))).space
    lengths = leg_lengths(space)
    joints = {name: np.array(path, dtype=float) for name, path in told["frames"]["joints_3d"].items()}
    for swing in told["swings"]:
        for instant, ends in LEGS.items():
            frame = swing["instants"][instant]["frame"]
            points = space[frame : frame + 1]
            for end in ends:
                side = side_of(end, hand)
                shown = {name: float(measure(points, side, lengths)[0]) for name, measure in QUANTITIES.items()}
                true = bend(*(joints[f"{side}_{joint}"][frame][None] for joint in ("hip", "knee", "ankle")))
                if all(np.isfinite(list(shown.values()))):
                    yield Seen(truth.stem, instant, end, shown | {"back": float(view == "back_side")}, float(true[0]))


def fit(rows: list[Seen], names: tuple[str, ...], penalty: float) -> tuple[float, np.ndarray]:
    """Base and weights by ridge regression; every film counts the same."""
    films = [row.film for row in rows]
    count = np.array([1.0 / films.count(film) for film in films])
    count /= count.sum()
    shown = np.array([[row.shown[name] for name in names] for row in rows])
    bends = np.array([row.bend for row in rows])
    middle, spread = count @ shown, shown.std(axis=0)
    scaled = (shown - middle) / spread
    usual = float(count @ bends)
    weights = np.linalg.solve(
        scaled.T @ (count[:, None] * scaled) + penalty * np.eye(len(names)), scaled.T @ (count * (bends - usual))
    )
    return usual - float(middle / spread @ weights), weights / spread


def errors_left_out(rows: list[Seen], names: tuple[str, ...], penalty: float) -> np.ndarray:
    """Error of each knee by the weights that the other films give, degrees."""
    errors = []
    for film in sorted({row.film for row in rows}):
        base, weights = fit([row for row in rows if row.film != film], names, penalty)
        errors += [base + weights @ [row.shown[name] for name in names] - row.bend for row in rows if row.film == film]
    return np.array(errors)


def main(folders: list[str]) -> None:
    """Print weights and errors."""
    rows = [
        seen
        for folder in folders
        for tracks in sorted(Path(folder).glob("*.tracks.npz"))
        for seen in knees_of(tracks, tracks.with_name(tracks.name.replace(".tracks.npz", ".json")))
    ]
    print(f"{len({row.film for row in rows})} films from a side")
    for instant, names in CHOSEN.items():
        here = [row for row in rows if row.instant == instant]
        base, weights = fit(here, names, PENALTY[instant])
        left_out = errors_left_out(here, names, PENALTY[instant])
        told = ", ".join(f"{name} {weight:.3f}" for name, weight in zip(names, weights, strict=True))
        rms, near = float(np.sqrt(np.mean(left_out**2))), float(np.mean(np.abs(left_out) <= 10.0))
        print(f"{instant}: base {base:.1f}, {told}; left out: {rms:.1f} degrees rms, {100 * near:.0f} % within 10")


if __name__ == "__main__":
    main(sys.argv[1:])
