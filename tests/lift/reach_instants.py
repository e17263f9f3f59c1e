"""How near the instants would come if the pose network placed keypoints better: the network in use, given a part of today's errors.

    python -m tests.lift.reach_instants --judge FOLDER [--processes N]

Swings are moved and not drawn (`tests.lift.unseen`), of people to judge by, with the errors of judging clips, whole or a part of them;
hands' peak, tempo and line are the true ones. Errors that are put on do not belong to the motion, so the same is told of drawn swings, by
their keypoints and lifted bodies as seen and as they truly are. Writes `tests/lift/data/reach-instants.json`.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
from dataclasses import replace
from pathlib import Path

import numpy as np

from analysis.read.instant_network import GRID_S, PREDICTED, STEP_S, instant_chances
from analysis.read.lift import JOINT_KEYPOINTS, JOINTS

from .bank import Bank, open_bank
from .clips import clip
from .looks import instant_looks
from .moves import Moves, moves_in
from .reach import JUDGE, PARTS
from .samples import answers, in_picture
from .store import Kept, load
from .unseen import moves_of

OUT = Path(__file__).parent / "data" / "reach-instants.json"
HOW = (
    "The instants of {judge} swings of judging people, moved and not drawn, by the network in use, with the errors of {bank} judging "
    "clips, whole or a part of them, on keypoints and on the lifted bodies; the hands' peak, the tempo and the line are true. How many lie "
    "within so many frames of 60 a second."
)
# What of a drawn swing is as it truly is: the picture, the body.
TOLD = {
    "as seen": (False, False),
    "true keypoints in the picture": (True, False),
    "true bodies": (False, True),
    "both true": (True, True),
}
HOW_DRAWN = (
    "{judge} drawn judging swings, by their keypoints in the picture and their lifted bodies as seen, and with one of them or both as they "
    "truly are."
)
WITHIN = {"foot_down": 1, "swing_start": 2, "contact": 1}


def with_part(whole: Moves, none: Moves, part: float) -> Moves:
    """The moves with a part of the errors, between those with all and those without any."""
    steady, places = (
        getattr(none, name) + part * (getattr(whole, name) - getattr(none, name)) for name in ("steady", "places")
    )
    return replace(whole, steady=steady, places=places)


def shares(moves: list[Moves]) -> dict[str, float]:
    """How many of the instants lie near the truth, by instant and view."""
    rows, goals = instant_looks(moves, np.random.default_rng(0), 1)
    chances = np.array([instant_chances(row.T.astype(np.float32)) for row in rows])
    sides = np.array([abs(np.cos(np.radians(each.ahead))) > 0.7 for each in moves])
    told = {}
    for name, frames in WITHIN.items():
        k = PREDICTED.index(name)
        found = np.array([np.interp(0.5, np.cumsum(row), GRID_S + STEP_S / 2) for row in chances[:, k]])
        near = 60 * np.abs(found - goals[:, k]) <= frames
        for view, seen in (("side", sides), ("along", ~sides)):
            told[f"{name.replace('_', ' ')} within {frames}, {view}"] = round(float(near[seen].mean()), 3)
    return told


def with_truth(clip: Kept, seen: Moves, picture: bool, body: bool) -> Moves:
    """A drawn clip's moves with its true keypoints in the ``picture``, its true ``body`` in space, or both."""
    true = answers(clip)[:, : 3 * len(JOINTS)].reshape(-1, len(JOINTS), 3)
    steady = seen.steady.copy()
    if picture:
        steady[:, list(JOINT_KEYPOINTS)] = (
            in_picture(clip.joints, clip.height) + seen.steady[:, [23, 24]].mean(axis=1)[:, None]
        )
    return replace(seen, steady=steady, places=true if body else seen.places)


def _drawn(path: Path) -> list[tuple[Moves, ...]]:
    """Of each swing of a file its moves as `TOLD` says."""
    clips = [each for each in load(path) if each.kind == 0 and each.truth is not None]
    moves = {each.number: each for each in moves_in(path, {}) if each.instants}
    return [
        tuple(with_truth(each, moves[each.number], *true) for true in TOLD.values())
        for each in clips
        if each.number in moves
    ]


_BANK: list[Bank] = []


def _take(bank: Bank) -> None:
    _BANK[:] = [bank]


def _both(number: int) -> tuple[Moves, Moves] | None:
    whole, none = (moves_of(clip(number, "judge"), _BANK[0], True, part=part) for part in (1.0, 0.0))
    return (whole[0], none[0]) if whole and none and whole[0].instants else None


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="How near instants would come by better keypoints.")
    parser.add_argument("--judge", type=Path, required=True)
    parser.add_argument("--processes", type=int, default=2)
    wish = parser.parse_args()
    context = multiprocessing.get_context("spawn")
    with context.Pool(wish.processes) as pool:
        bank = open_bank(sorted(wish.judge.glob("judge-*.npz")), None, pool)
    numbers = [n for first, count in JUDGE for n in range(first, first + count)]
    with context.Pool(wish.processes, _take, (bank,)) as pool:
        both = [each for each in pool.imap(_both, numbers, chunksize=4) if each]
    points = [{"errors": part, "within": shares([with_part(*each, part) for each in both])} for part in PARTS]
    for point in points:
        print(json.dumps(point), flush=True)
    with context.Pool(wish.processes) as pool:
        swings = [each for own in pool.imap(_drawn, sorted(wish.judge.glob("judge-*.npz"))) for each in own]
    drawn = [
        {"told": name, "within": shares(list(own))} for name, own in zip(TOLD, zip(*swings, strict=True), strict=True)
    ]
    for row in drawn:
        print(json.dumps(row), flush=True)
    how = HOW.format(judge=len(both), bank=len(bank.errors))
    told = {"how": how, "points": points, "how_drawn": HOW_DRAWN.format(judge=len(swings)), "drawn": drawn}
    OUT.write_text(json.dumps(told, indent=1) + "\n")


if __name__ == "__main__":
    main()
