"""The instants and checkpoints of a drawn swing, computed from its motion as for the films (`tests.films.truth`).

    python -m tests.lift.truths USE --data FOLDER [--only NUMBER...]

tells them anew for clips that are drawn and watched already, after a definition has changed (four seconds a swing).
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline

from analysis.read.lift import JOINTS
from tests.films.truth import Sampled, checkpoints_of, instants_of

from .at_once import joints_and_bat
from .marks import Marks
from .movers import SOLE, Swing

__all__ = ["instants_by_mover", "labelled_times", "truth_of"]

FINE = 250.0  # samples per second
# What is told without drawing: poses a second, and samples of the cubic splines through them.
COARSE, SPLINED = 80.0, 400.0


def truth_of(mover: Swing, first: float, last: float, which: int = 0) -> dict[str, dict[str, float]] | None:
    """``instants`` by name, seconds of the mover's time, and ``checkpoints`` by id, between two times; of the first or another swing.

    None where one of the instants never comes, as where a hitter is never quiet, or where the hands go at contact alone.
    """
    timing = mover.timings[which]
    marks, head = Marks(mover.body), mover.body.index("head")
    times = np.arange(max(first, timing.move - 0.4), min(last, timing.finish + 0.3), 1 / FINE)
    moments = [mover.moment(float(time)) for time in times]
    joints = np.array([marks.at(m.rotations, m.places) for m in moments])
    bats = np.array([np.stack(m.bat) for m in moments if m.bat is not None])
    sampled = Sampled(
        times,
        {name: joints[:, k] for k, name in enumerate(JOINTS)},
        bats[:, 0],
        bats[:, 1],
        np.array([m.rotations[head] @ [0, 0, 1.0] for m in moments]),
        0.0,
    )
    for name in sampled.joints:
        sampled.joints[name] = sampled.joints[name] - [0, SOLE, 0]
    arm = mover.skeleton.upper["L"] + mover.skeleton.fore["L"]
    try:
        when = instants_of(sampled, timing)
        return {"instants": when, "checkpoints": checkpoints_of(sampled, when, mover.body.height, arm)}
    except (IndexError, ValueError):  # an empty stretch of time
        return None


def labelled_times(mover: Swing) -> np.ndarray:
    """The times [F] at which a swing's body is looked at to say when its instants are, seconds of the mover's time."""
    timing = mover.timings[0]
    return np.arange(max(0.0, timing.move - 0.4), timing.finish + 0.3, 1 / COARSE)


def instants_by_mover(mover: Swing, posed: tuple[np.ndarray, np.ndarray] | None = None) -> dict[str, float] | None:
    """The instants of a swing, seconds of the mover's time; None where one never comes.

    posed  joints [F, J, 3] and bat [F, 2, 3] at `labelled_times`, where they are known already
    """
    timing, times = mover.timings[0], labelled_times(mover)
    fine = np.arange(times[0], times[-1], 1 / SPLINED)
    posed = posed or joints_and_bat(mover, Marks(mover.body), times)
    joints, bats = (CubicSpline(times, rows)(fine) for rows in posed)
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


def renew(path: Path, use: str, only: set[int]) -> list[int]:
    """Write the truths of a file's swings anew, of all or of some numbers; gives the numbers of those that changed."""
    from .clips import clip

    with np.load(path) as kept:
        data = {name: kept[name] for name in kept.files}
    changed = []
    for name in [name for name in data if name.endswith("/truth")]:
        number, kind = (int(value) for value in data[name.replace("truth", "facts")][:2])
        if kind != 0 or (only and number not in only):
            continue
        scene = clip(number, use)
        truth = truth_of(scene.mover, float(scene.times[0]), float(scene.times[-1]))  # type: ignore[arg-type]
        if truth is not None and truth != json.loads(str(data[name])):
            data[name] = np.array(json.dumps(truth))
            changed.append(number)
    if changed:
        part = path.with_suffix(".part.npz")
        np.savez_compressed(part, **data)
        part.replace(path)
    return changed


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Tell the truths of kept swings anew.")
    parser.add_argument("use", choices=["tune", "calibrate", "judge"])
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--only", type=int, nargs="*", default=[])
    wish = parser.parse_args()
    for path in sorted(wish.data.glob(f"{wish.use}-*.npz")):
        for number in renew(path, wish.use, set(wish.only)):
            print(f"{path.name}: {number}", flush=True)


if __name__ == "__main__":
    main()
