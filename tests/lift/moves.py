"""How people move in drawn clips, lifted by the lift of today: what the networks of instants and deeds are fitted to.

    python -m tests.lift.moves USE --data FOLDER --out FILE [--labels FILE...] [--processes N]

``--labels`` are the instants that `tests.lift.label` told, for the clips to fit to.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.read.arrays import Floats32
from analysis.read.instant_network import inputs, other_hand
from analysis.read.lift import JOINTS, features, lift

from .samples import motion_of, to_ray
from .store import Kept, load

__all__ = ["Moves", "moves_in", "open_moves", "save_moves", "seen_by_hand"]


@dataclass
class Moves:
    """How one person moves: as `analysis.read.instant_network.inputs` wants it, with the true instants of a swing in film time.

    ``kind`` as in `tests.lift.store.Kept`; ``act`` its name; ``contact`` NaN where there is no swing; ``instants`` empty where
    they are not known
    """

    use: str
    number: int
    kind: int
    act: str
    person: int
    hand: str
    ahead: float
    contact: float
    times: np.ndarray
    steady: np.ndarray
    places: np.ndarray
    visibility: np.ndarray
    instants: dict[str, float]


def moves_in(path: Path, labels: dict[str, dict[str, float]]) -> list[Moves]:
    """The moves of a file's clips; ``labels`` tell the instants of those to fit to by number."""
    out = []
    use = path.name.split("-")[0]
    for clip in load(path):
        told = clip.truth or {}
        instants = told.get("instants") or (labels.get(str(clip.number)) if use == "fit" else None) or {}
        made = _of(
            clip, use, next(iter(told.get("act", {})), ""), {k: v - float(clip.times[0]) for k, v in instants.items()}
        )
        out += [made] if made else []
    return out


def _of(clip: Kept, use: str, act: str, instants: dict[str, float]) -> Moves | None:
    motion = motion_of(clip)
    known = np.flatnonzero(np.isfinite(motion.height_px))
    if known.size < 10 or not np.isfinite(motion.height_m):
        return None
    places = np.full((len(motion.times), len(JOINTS), 3), np.nan)
    places[known] = lift(features(motion, known)).places
    ahead = to_ray(clip.joints[:, :2].mean(axis=1)) @ clip.axes[0]
    direction = float(np.degrees(np.median(np.arctan2(ahead[:, 2], ahead[:, 0]))))
    steady = motion.space[..., :2]
    hand = "left" if clip.mirrored else "right"
    return Moves(
        use, clip.number, clip.kind, act, clip.person, hand, direction, clip.contact - float(clip.times[0]), motion.times, steady,
        places, motion.visibility, instants,
    )  # fmt: skip


def seen_by_hand(move: Moves, centre: float, slowdown: float, ahead: float, hand: str) -> Floats32:
    """Inputs [G, INPUTS] about a film time, s, as `window_input` of `analysis.read.instant_network` makes them.

    A left-handed hitter is mirrored. ``ahead`` is the direction of the line of a hitter of this hand on ray axes, degrees.
    """
    straight = ahead if hand == "right" else ahead + 180.0
    rows = inputs(move.times, move.steady, move.places, move.visibility, centre, slowdown, straight)
    return rows if hand == "right" else other_hand(rows)


def save_moves(path: Path, moves: list[Moves]) -> None:
    """Write moves into one file."""
    facts = [
        {"use": m.use, "number": m.number, "kind": m.kind, "act": m.act, "person": m.person, "hand": m.hand, "ahead": m.ahead,
            "contact": m.contact, "frames": len(m.times), "instants": m.instants,
        }
        for m in moves
    ]  # fmt: skip
    join = {
        name: np.concatenate([getattr(m, name) for m in moves]) for name in ("times", "steady", "places", "visibility")
    }
    small = {name: rows.astype(np.float32 if name == "times" else np.float16) for name, rows in join.items()}
    np.savez_compressed(path, **small, facts=np.array(json.dumps(facts)))


def open_moves(path: Path) -> list[Moves]:
    """The moves that a file holds."""
    with np.load(path) as kept:
        data = {name: kept[name] for name in kept.files}
    moves, first = [], 0
    for fact in json.loads(str(data["facts"])):
        part = slice(first, first := first + fact.pop("frames"))
        rows = {name: data[name][part].astype(np.float64) for name in ("times", "steady", "places", "visibility")}
        moves.append(Moves(**fact, **rows))
    return moves


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Moves of drawn clips.")
    parser.add_argument("use", choices=["fit", "tune", "judge"])
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--labels", type=Path, nargs="*", default=[])
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    labels: dict[str, dict[str, float]] = {}
    for file in wish.labels:
        labels |= json.loads(file.read_text())
    files = sorted(wish.data.glob(f"{wish.use}-*.npz"))
    with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
        moves = [
            each for part in pool.starmap(moves_in, [(file, labels) for file in files], chunksize=4) for each in part
        ]
    save_moves(wish.out, moves)
    print(f"{len(moves)} moves, {sum(m.kind == 0 for m in moves)} of them swings")


if __name__ == "__main__":
    main()
