"""Moves without pictures: joints as movers move them, with the errors that drawn clips of other moves have shown.

    python -m tests.lift.unseen USE FIRST LAST --bank FOLDER... --out FILE [--timed] [--views N] [--looks N] [--processes N]

Drawing and watching a second of film takes ten seconds of a core; this takes a tenth of one, and before more cameras hardly any more.
The errors of keypoints and of lifted joints, and how surely each was seen, are taken as they ran through a drawn clip (of FOLDER..., of
the same use) that was seen from about the same side; those of a swing mostly run so that both swings meet the ball together. They do not
know of this move: where limbs hide each other at other times, that is missing. ``--systematic`` puts on what goes by the move itself (a
third, see `tests.lift.systematic`), and the random part alone is taken. What is fitted to these moves is judged on drawn ones. With
``--looks`` so many looks at each swing are kept instead of its moves, as `tests.lift.time_fit` wants them.
"""

from __future__ import annotations

import argparse
import multiprocessing
from functools import partial
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline

from analysis.read.lift import JOINT_KEYPOINTS

from .at_once import joints_and_bat
from .bank import Bank, open_bank
from .clips import Clip, clip, from_elsewhere
from .looks import instant_looks, save_looks
from .make import NAMED
from .marks import Marks
from .mirror import OTHER_JOINT
from .movers import Swing
from .moves import Moves, save_moves
from .samples import in_picture, to_ray
from .systematic import Systematic
from .truths import instants_by_mover, labelled_times

POSES_A_S = 40.0  # what lies between goes by cubic splines


def moves_of(wish: Clip, bank: Bank, timed: bool, views: int = 1, part: float = 1.0) -> list[Moves]:
    """The moves of a clip that was not drawn, with a ``part`` of the errors of drawn ones; ``timed`` with all instants of its swing.

    views  before so many cameras, the first of them the clip's own
    """
    rng = np.random.default_rng([{"fit": 21, "tune": 22, "judge": 23, "later": 24}[wish.use], wish.number])
    first, contact, instants = float(wish.times[0]), float("nan"), {}
    if isinstance(wish.mover, Swing):
        contact = wish.mover.timings[0].contact - first
        joints, told = _swung(wish.mover, wish.times, timed)
        instants = {name: when - first for name, when in told.items()}
    else:
        other = _joints(wish)
        if other is None:
            return []
        joints = other
    seen = [wish, *(from_elsewhere(wish, view) for view in range(1, views))]
    return [_seen(each, joints, contact, instants, bank, part, rng) for each in seen]


def _swung(swing: Swing, times: np.ndarray, timed: bool) -> tuple[np.ndarray, dict[str, float]]:
    """The joints [F, J, 3] of a right-handed swing, metres, and when its instants are."""
    asked = np.concatenate([times, labelled_times(swing)]) if timed else times
    joints, bat = joints_and_bat(swing, Marks(swing.body), asked)
    own = len(times)
    return joints[:own], (instants_by_mover(swing, (joints[own:], bat[own:])) or {}) if timed else {}


def _joints(wish: Clip) -> np.ndarray | None:
    """The joints [F, J, 3] of anybody else, metres."""
    marks = Marks(wish.mover.body)
    coarse = np.arange(wish.times[0], wish.times[-1] + 1 / POSES_A_S, 1 / POSES_A_S)
    try:
        moments = [wish.mover.moment(float(time)) for time in coarse]
    except (ValueError, FloatingPointError, np.linalg.LinAlgError):
        return None
    poses = np.array([marks.at(m.rotations, m.places) for m in moments])
    return np.asarray(CubicSpline(coarse, poses)(wish.times))


def _seen(
    wish: Clip,
    joints: np.ndarray,
    contact: float,
    instants: dict[str, float],
    bank: Bank,
    part: float,
    rng: np.random.Generator,
) -> Moves:
    flip = np.array([1.0, 1.0, -1.0 if wish.mirrored else 1.0])
    joints = (joints + wish.origin) * flip
    if wish.mirrored:
        joints = joints[:, OTHER_JOINT]
    seen = joints @ wish.camera.rotation.T + wish.camera.shift
    hips = seen[:, :2].mean(axis=1)
    turn = to_ray(hips)
    places = np.einsum("fij,fkj->fki", turn, seen - hips[:, None]) / wish.mover.body.height
    path = (hips - hips[0])[:, :2] * [1, -1] / wish.mover.body.height
    picture, times = in_picture(seen, wish.mover.body.height), wish.times - wish.times[0]
    flat, solid, sure = bank.draw(places, picture, times, contact, (wish.azimuth, wish.mirrored), rng)
    steady = np.full((len(places), 33, 2), np.nan)
    steady[:, list(JOINT_KEYPOINTS)] = picture + part * flat + path[:, None]
    ahead = turn @ (wish.camera.rotation @ np.array([1.0, 0.0, 0.0]))
    direction = float(np.degrees(np.median(np.arctan2(ahead[:, 2], ahead[:, 0]))))
    kind = {"swing": 0, "recorded": 1, "free": 2, "act": 3}[wish.kind]
    return Moves(
        wish.use, wish.number, kind, wish.act, wish.person, "left" if wish.mirrored else "right", direction, contact,
        times, steady, places + part * solid, sure, instants,
    )  # fmt: skip


_BANK: list[Bank] = []


def _take(bank: Bank) -> None:
    _BANK[:] = [bank]


def _work(number: int, use: str, timed: bool, views: int, looks: int) -> list[Moves] | tuple[np.ndarray, np.ndarray]:
    wish = clip(number, use)
    if not looks:
        return moves_of(wish, _BANK[0], timed, views)
    moves = moves_of(wish, _BANK[0], timed, views) if wish.kind == "swing" else []
    return instant_looks([m for m in moves if m.instants], np.random.default_rng([61, number]), looks)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Moves of clips that are not drawn.")
    parser.add_argument("use", choices=["fit", "later", "tune", "judge"])
    parser.add_argument("first", type=int)
    parser.add_argument("last", type=int)
    parser.add_argument("--bank", type=Path, nargs="+", required=True, help="folders of drawn clips")
    parser.add_argument("--most", type=int, default=300, help="files of the bank to take errors from")
    parser.add_argument(
        "--systematic", type=Path, help="what tests.lift.systematic fitted: the part of errors that goes by the motion"
    )
    parser.add_argument("--timed", action="store_true", help="tell the instants of the swings")
    parser.add_argument("--views", type=int, default=1, help="cameras before which each of them is")
    parser.add_argument("--looks", type=int, default=0, help="looks at each swing to keep, instead of its moves")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    files = [file for folder in wish.bank for file in sorted(folder.glob(f"{NAMED.get(wish.use, wish.use)}-*.npz"))]
    files = files[:: max(1, len(files) // wish.most)]
    context = multiprocessing.get_context("spawn")
    with context.Pool(wish.processes) as pool:
        bank = open_bank(files, Systematic.open(wish.systematic) if wish.systematic else None, pool)
    print(f"errors of {len(bank.errors)} clips", flush=True)
    work = partial(_work, use=wish.use, timed=wish.timed or wish.looks > 0, views=wish.views, looks=wish.looks)
    with context.Pool(wish.processes, _take, (bank,)) as pool:
        found = list(pool.imap(work, range(wish.first, wish.last + 1), chunksize=8))
    if wish.looks:
        save_looks(wish.out, [each for each in found if len(each[0])])
        return
    moves = [each for part in found for each in part]
    save_moves(wish.out, moves)
    print(f"{len(moves)} moves, {sum(m.kind == 0 for m in moves)} of them swings")


if __name__ == "__main__":
    main()
