"""Moves without pictures: joints as movers move them, with the errors that drawn clips of other moves have shown.

    python -m tests.lift.unseen USE FIRST LAST --bank FOLDER --out FILE [--timed] [--processes N]

Drawing and watching a second of film takes ten seconds of a core; this takes half a one. The errors of keypoints and of lifted
joints, and how surely each was seen, are taken as they ran through a drawn clip (of FOLDER, of the same use) that was seen from
about the same side. They do not know of this move: where limbs hide each other at other times, that is missing. So what is
fitted to these moves is judged on drawn ones.
"""

from __future__ import annotations

import argparse
import multiprocessing
from functools import partial
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline

from analysis.read.lift import JOINT_KEYPOINTS

from .clips import clip
from .errors import Errors, errors_of, stretched
from .label import instants_by_mover
from .make import NAMED
from .marks import Marks
from .mirror import OTHER_JOINT, OTHER_KEYPOINT
from .movers import Swing
from .moves import Moves, save_moves
from .samples import to_ray

POSES_A_S = 40.0  # what lies between goes by cubic splines


def moves_of(number: int, use: str, bank: list[Errors], timed: bool, part: float = 1.0) -> Moves | None:
    """The moves of a clip that was not drawn, with a ``part`` of the errors of drawn ones; ``timed`` with all instants of its swing."""
    wish = clip(number, use)
    rng = np.random.default_rng([{"fit": 21, "tune": 22, "judge": 23, "later": 24}[use], number])
    marks = Marks(wish.mover.body)
    coarse = np.arange(wish.times[0], wish.times[-1] + 1 / POSES_A_S, 1 / POSES_A_S)
    try:
        moments = [wish.mover.moment(float(time)) for time in coarse]
    except (ValueError, FloatingPointError, np.linalg.LinAlgError):
        return None
    joints = CubicSpline(coarse, np.array([marks.at(m.rotations, m.places) for m in moments]))(wish.times)
    flip = np.array([1.0, 1.0, -1.0 if wish.mirrored else 1.0])
    joints = (joints + wish.origin) * flip
    if wish.mirrored:
        joints = joints[:, OTHER_JOINT]
    seen = joints @ wish.camera.rotation.T + wish.camera.shift
    hips = seen[:, :2].mean(axis=1)
    turn = to_ray(hips)
    places = np.einsum("fij,fkj->fki", turn, seen - hips[:, None]) / wish.mover.body.height
    path = (hips - hips[0])[:, :2] * [1, -1] / wish.mover.body.height
    near = [e for e in bank if abs((e.azimuth - wish.azimuth + 180) % 360 - 180) < 30] or bank
    errors = near[int(rng.integers(len(near)))]
    flat, solid, sure = (
        stretched(rows, errors.step, wish.times, rng_start) for rows, rng_start in _starts(errors, rng)
    )
    if wish.mirrored:
        flat, solid, sure = flat[:, OTHER_JOINT] * [-1, 1], solid[:, OTHER_JOINT] * [-1, 1, 1], sure[:, OTHER_KEYPOINT]
    steady = np.full((len(places), 33, 2), np.nan)
    steady[:, list(JOINT_KEYPOINTS)] = places[..., :2] + part * flat + path[:, None]
    ahead = turn @ (wish.camera.rotation @ np.array([1.0, 0.0, 0.0]))
    direction = float(np.degrees(np.median(np.arctan2(ahead[:, 2], ahead[:, 0]))))
    kind = {"swing": 0, "recorded": 1, "free": 2, "act": 3}[wish.kind]
    first = float(wish.times[0])
    contact, instants = float("nan"), {}
    if isinstance(wish.mover, Swing):
        contact = wish.mover.timings[0].contact - first
        if timed:
            instants = {name: when - first for name, when in (instants_by_mover(wish.mover) or {}).items()}
    return Moves(
        use, number, kind, wish.act, wish.person, "left" if wish.mirrored else "right", direction, contact, wish.times - first,
        steady, places + part * solid, sure, instants,
    )  # fmt: skip


def _starts(errors: Errors, rng: np.random.Generator) -> list[tuple[np.ndarray, float]]:
    start = float(rng.uniform(0, errors.step * len(errors.flat)))
    return [(errors.flat, start), (errors.solid, start), (errors.seen, start)]


_BANK: list[Errors] = []


def _take(bank: list[Errors]) -> None:
    _BANK[:] = bank


def _work(number: int, use: str, timed: bool) -> Moves | None:
    return moves_of(number, use, _BANK, timed)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Moves of clips that are not drawn.")
    parser.add_argument("use", choices=["fit", "later", "tune", "judge"])
    parser.add_argument("first", type=int)
    parser.add_argument("last", type=int)
    parser.add_argument("--bank", type=Path, required=True)
    parser.add_argument("--most", type=int, default=300, help="files of the bank to take errors from")
    parser.add_argument(
        "--timed", action="store_true", help="tell the instants of the swings, which takes as long again"
    )
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    files = sorted(wish.bank.glob(f"{NAMED.get(wish.use, wish.use)}-*.npz"))
    files = files[:: max(1, len(files) // wish.most)]
    context = multiprocessing.get_context("spawn")
    with context.Pool(wish.processes) as pool:
        bank = [each for part in pool.imap_unordered(errors_of, files, chunksize=4) for each in part]
    print(f"errors of {len(bank)} clips", flush=True)
    with context.Pool(wish.processes, _take, (bank,)) as pool:
        found = pool.imap_unordered(
            partial(_work, use=wish.use, timed=wish.timed), range(wish.first, wish.last + 1), chunksize=8
        )
        moves = sorted((each for each in found if each is not None), key=lambda each: each.number)
    save_moves(wish.out, moves)
    print(f"{len(moves)} moves, {sum(m.kind == 0 for m in moves)} of them swings")


if __name__ == "__main__":
    main()
