"""How much nearer the lift comes with more people: fit it to growing shares of the clips, and judge each by people it never saw.

    python -m tests.lift.curve --data FOLDER --judge FOLDER [--steps N] [--wide N] [--shares S ...]

FOLDER holds fit-* and tune-* clips, as for `tests.lift.fit`. Every network is as wide and sees as many samples as the others; of
each the state is judged that did best on the tuning clips. Writes `tests/lift/data/curve.json`, which `python -m analysis.validate`
shows. Needs torch.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import numpy as np
import torch

from analysis.read.lift import JOINTS

from .fit import Lift, _bend, _heading, _read, fit, load_samples, run

OUT = Path(__file__).parent / "data" / "curve.json"
SIZE = 1024
REPORTS = 6
HOW = (
    "Mean absolute errors of single frames of the judging clips: bend of the knees, directions from above. The networks are alike "
    "({wide} wide, {steps} steps of {size} samples; of each the state that did best on the tuning clips), but not the one that is used."
)
LINES = {
    "shoulders": ("left_shoulder", "right_shoulder"),
    "hips": ("left_hip", "right_hip"),
    "ankles": ("left_ankle", "right_ankle"),
    "foot": ("left_toe", "left_heel"),
}
Samples = tuple[np.ndarray, np.ndarray, np.ndarray]


def errors(guess: np.ndarray, wanted: np.ndarray) -> dict[str, float]:
    """Mean absolute errors in degrees of means [N, OUTPUTS]: bend of the knees, lines seen from above."""
    a, b = (rows[:, : 3 * len(JOINTS)].reshape(-1, len(JOINTS), 3) for rows in (guess, wanted))
    told = {"knees": float(np.mean([np.abs(_bend(a, side) - _bend(b, side)).mean() for side in ("left", "right")]))}
    for name, (first, second) in LINES.items():
        off = (_heading(a, first, second) - _heading(b, first, second) + 180) % 360 - 180
        told[name] = float(np.abs(off).mean())
    return told


def point(
    own: Samples, tune: Samples, judge: Samples, wide: int, steps: int, seed: int, device: str
) -> dict[str, object]:
    """One point of the curve: fitted to some samples, and how near the best state comes to the judging ones."""
    best: dict[str, float] = {}
    least = [float("inf")]

    def keep(net: Lift, mean: torch.Tensor, std: torch.Tensor, epoch: int) -> None:
        score = sum(_told(net, mean, std, tune)["in the swing"].values())
        if score < least[0]:
            least[0] = score
            best.update(_flat(_told(net, mean, std, judge)))

    rows, wanted, facts = own
    epochs = max(1, round(steps * SIZE / len(rows)))
    fit(
        rows, wanted, wide, 3, 0.1, epochs, seed, device, 0.4, 1.0 + 3.0 * _read(facts), min(SIZE, len(rows)), 1.2e-3,
        max(1, epochs // REPORTS), keep,
    )  # fmt: skip
    return {"clips": len(np.unique(facts[:, 0])), "frames": len(rows), "epochs": epochs, "errors": best}


def _told(net: Lift, mean: torch.Tensor, std: torch.Tensor, samples: Samples) -> dict[str, dict[str, float]]:
    rows, wanted, facts = samples
    guess = run(net, mean, std, rows, str(mean.device))[0]
    kinds = {"in the swing": _read(facts), "recorded motion": facts[:, 1] == 1}
    return {name: errors(guess[of], wanted[of]) for name, of in kinds.items() if of.any()}


def _flat(told: dict[str, dict[str, float]]) -> dict[str, float]:
    return {f"{name}, {kind}": error for kind, own in told.items() for name, error in own.items()}


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="How much nearer the lift comes with more people.")
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--judge", type=Path, required=True)
    parser.add_argument("--shares", type=float, nargs="+", default=[1 / 16, 1 / 8, 1 / 4, 1 / 2, 1])
    parser.add_argument("--steps", type=int, default=3000)
    parser.add_argument("--wide", type=int, default=320)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    wish = parser.parse_args()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    every, tune, judge = (
        load_samples(sorted(folder.glob(f"{use}-*.npz")), wish.processes)
        for use, folder in (("fit", wish.data), ("tune", wish.data), ("judge", wish.judge))
    )
    clips = np.random.default_rng(wish.seed).permutation(np.unique(every[2][:, 0]))
    points = []
    for share in wish.shares:
        chosen = np.isin(every[2][:, 0], clips[: max(1, round(share * len(clips)))])
        own = (every[0][chosen], every[1][chosen], every[2][chosen])
        points.append(point(own, tune, judge, wish.wide, wish.steps, wish.seed, device))
        print(json.dumps(points[-1]), flush=True)
        told = {"how": HOW.format(wide=wish.wide, steps=wish.steps, size=SIZE), "points": points}
        OUT.write_text(json.dumps(told, indent=1) + "\n")


if __name__ == "__main__":
    main()
