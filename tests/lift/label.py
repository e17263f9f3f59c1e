"""When the instants of drawn swings are, for clips to fit to: their movers say it, without drawing them again.

    python -m tests.lift.label FIRST LAST --out FILE [--use fit|later] [--processes N]

Writes JSON: for the number of each swing, the seven instants in seconds of the mover's time.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
from functools import partial
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline

from analysis.read.lift import JOINTS
from tests.films.truth import Sampled, instants_of

from .clips import clip
from .marks import Marks
from .movers import SOLE, Swing
from .people import FITTING

__all__ = ["instants_by_mover"]

COARSE = 80.0  # poses a second; what lies between goes by cubic splines
FINE = 400.0


def instants_by_mover(mover: Swing) -> dict[str, float] | None:
    """The instants of a swing, seconds of the mover's time; None where one never comes."""
    timing = mover.timings[0]
    marks = Marks(mover.body)
    times = np.arange(max(0.0, timing.move - 0.4), timing.finish + 0.3, 1 / COARSE)
    fine = np.arange(times[0], times[-1], 1 / FINE)
    moments = [mover.moment(float(time)) for time in times]
    joints = CubicSpline(times, np.array([marks.at(m.rotations, m.places) for m in moments]))(fine)
    bats = CubicSpline(times, np.array([np.stack(m.bat) for m in moments if m.bat is not None]))(fine)
    joints = joints - [0, SOLE, 0]
    sampled = Sampled(
        fine,
        {name: joints[:, k] for k, name in enumerate(JOINTS)},
        bats[:, 0],
        bats[:, 1],
        np.zeros((len(fine), 3)),
        0.0,
    )
    try:
        return {name: round(time, 4) for name, time in instants_of(sampled, timing).items()}
    except IndexError:
        return None


def _of(number: int, use: str) -> tuple[int, dict[str, float] | None]:
    wish = clip(number, use)
    return number, instants_by_mover(wish.mover) if isinstance(wish.mover, Swing) else None


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Instants of swings to fit to.")
    parser.add_argument("first", type=int)
    parser.add_argument("last", type=int)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--use", choices=FITTING, default="fit")
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
        found = pool.imap_unordered(partial(_of, use=wish.use), range(wish.first, wish.last + 1), chunksize=4)
        kept = {number: instants for number, instants in found if instants is not None}
    wish.out.write_text(json.dumps(dict(sorted(kept.items())), indent=0) + "\n")
    print(f"{len(kept)} swings")


if __name__ == "__main__":
    main()
