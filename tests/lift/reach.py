"""How near a body could come if the pose network placed keypoints better: lifts fitted to errors a part as large.

    python -m tests.lift.reach --bank FOLDER --judge FOLDER [--hitters N] [--steps N] [--processes N]

Swings are moved and not drawn (as in `tests.lift.unseen`); what the pose network gets wrong about the same moment of a drawn swing,
seen from about the same side, is put on them: whole, or a part of it. A lift like the one in use is fitted to each, on people to
fit to, and judged on swings of people to judge by. BANK holds drawn clips to fit with (tune-*), JUDGE those to judge with. Writes
`tests/lift/data/reach.json`. Needs torch.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import numpy as np
import torch
from scipy.interpolate import CubicSpline

from analysis.read.lift import JOINTS, WINDOW_S

from .clips import clip
from .curve import errors
from .marks import Marks
from .mirror import OTHER_JOINT
from .reach_errors import Seen, errors_shown, neighbours, with_errors
from .samples import READ_S, to_ray

OUT = Path(__file__).parent / "data" / "reach.json"
HOW = (
    "{fit} swings of people to fit to were moved, not drawn, and given the errors that the pose network has shown in drawn clips at the "
    "same moment and from about the same side: of its keypoints in the picture and of its world landmarks, or without these; whole, or a "
    "part of them. Networks like the lift ({wide} wide, {steps} steps of {size} samples) were fitted to each and judged, from the sides, "
    "on {judge} swings of judging people with the errors of judging clips. Mean absolute errors in degrees of single frames from 0.4 s "
    "before contact on. With all errors they come out as the lift in use does."
)
PARTS = (1.0, 0.5, 0.25, 0.0)  # of today's errors
FIT = (200_000, 300_000)  # numbers of swings to fit to, from each of them on; people to fit to
JUDGE = ((200_000, 100), (300_000, 100))
POSES_A_S = 60.0
MOMENTS = 10  # of each swing
WIDE, BLOCKS, SIZE, RATE = 320, 3, 1024, 1.2e-3
SIDES = 35.0  # degrees from a side


Near = list[tuple[Seen, list[Seen]]]  # swings, each with the errors it may be given


def moved(number: int, use: str) -> Seen | None:
    """Moments of a swing that is not drawn, in truth."""
    wish = clip(number, use)
    marks, contact = Marks(wish.mover.body), wish.mover.timings[0].contact  # type: ignore[attr-defined]
    coarse = np.arange(contact + READ_S[0] - 0.15, contact + READ_S[1] + 0.15, 1 / POSES_A_S)
    try:
        moments = [wish.mover.moment(float(time)) for time in coarse]
    except (ValueError, FloatingPointError, np.linalg.LinAlgError):
        return None
    flip = np.array([1.0, 1.0, -1.0 if wish.mirrored else 1.0])
    joints = (np.array([marks.at(m.rotations, m.places) for m in moments]) + wish.origin) * flip
    path = CubicSpline(coarse, joints[:, OTHER_JOINT] if wish.mirrored else joints)
    at = contact + np.random.default_rng([61, number]).uniform(*READ_S, MOMENTS)
    windows = path(at[:, None] + np.array(WINDOW_S)) @ wish.camera.rotation.T + wish.camera.shift
    height = wish.mover.body.height
    here = windows[:, len(WINDOW_S) // 2]
    hips = here[:, :2].mean(axis=1)
    flat = windows[..., :2] / windows[..., 2:] - (hips[:, :2] / hips[:, 2:])[:, None, None]
    flat = flat * (hips[:, 2] / height)[:, None, None, None] * [1, -1]
    turn = to_ray(hips)
    own = windows - windows[:, :, :2].mean(axis=2)[:, :, None]
    deep = np.einsum("nij,nwkj->nwki", turn, own) / height
    return Seen(wish.azimuth, wish.mirrored, at - contact, flat, deep, deep[:, len(WINDOW_S) // 2])


def fitted(
    rows: Iterator[tuple[np.ndarray, np.ndarray]], steps: int, entries: int, first: np.ndarray
) -> torch.nn.Module:
    """A network like the lift's fitted to batches of what is seen and of bodies."""
    torch.manual_seed(1)
    layers: list[torch.nn.Module] = [torch.nn.Linear(entries, WIDE)]
    for _ in range(2 * BLOCKS):
        layers += [torch.nn.SiLU(), torch.nn.Linear(WIDE, WIDE)]
    net = torch.nn.Sequential(_Standard(first), *layers, torch.nn.SiLU(), torch.nn.Linear(WIDE, 3 * len(JOINTS)))
    optimiser = torch.optim.AdamW(net.parameters(), lr=RATE, weight_decay=0.05)
    plan = torch.optim.lr_scheduler.OneCycleLR(optimiser, RATE, total_steps=steps, pct_start=0.1)
    for _, (x, y) in zip(range(steps), rows, strict=False):
        loss = (net(torch.tensor(x, dtype=torch.float32)) - torch.tensor(y, dtype=torch.float32)).abs().mean()
        optimiser.zero_grad()
        loss.backward()
        optimiser.step()
        plan.step()
    return net


class _Standard(torch.nn.Module):
    def __init__(self, rows: np.ndarray) -> None:
        super().__init__()
        self.mean = torch.tensor(rows.mean(axis=0), dtype=torch.float32)
        self.std = torch.tensor(rows.std(axis=0) + 1e-3, dtype=torch.float32)

    def forward(self, rows: torch.Tensor) -> torch.Tensor:
        return (rows - self.mean) / self.std


def point(fit: Near, judge: Near, part: float, deep: bool, steps: int) -> dict[str, float]:
    """Mean absolute errors in degrees of a lift fitted to a part of today's errors."""
    rng = np.random.default_rng(3)
    picked = SIZE // MOMENTS

    def batches() -> Iterator[tuple[np.ndarray, np.ndarray]]:
        while True:
            yield seen([fit[n] for n in rng.integers(len(fit), size=picked)])

    def seen(some: Near) -> tuple[np.ndarray, np.ndarray]:
        looked = np.concatenate([with_errors(each, near, part, deep, rng) for each, near in some])
        return looked, np.concatenate([each.body.reshape(len(each.body), -1) for each, _ in some])

    first = seen(fit)[0]
    net = fitted(batches(), steps, first.shape[1], first)
    looked, wanted = seen(judge)
    with torch.no_grad():
        return errors(net(torch.tensor(looked, dtype=torch.float32)).numpy(), wanted)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="How near a body could come by better keypoints.")
    parser.add_argument("--bank", type=Path, required=True)
    parser.add_argument("--judge", type=Path, required=True)
    parser.add_argument("--hitters", type=int, default=2400)
    parser.add_argument("--steps", type=int, default=3000)
    parser.add_argument("--processes", type=int, default=2)
    wish = parser.parse_args()
    half = wish.hitters // len(FIT)
    with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
        numbers = [n for first in FIT for n in range(first, first + half)]
        fit = [each for each in pool.imap(partial(moved, use="later"), numbers, chunksize=8) if each]
        numbers = [n for first, count in JUDGE for n in range(first, first + count)]
        judge = [each for each in pool.imap(partial(moved, use="judge"), numbers, chunksize=8) if each]
        banks = tuple(
            [off for part in pool.imap(errors_shown, sorted(folder.glob(f"{use}-*.npz"))) for off in part]
            for folder, use in ((wish.bank, "tune"), (wish.judge, "judge"))
        )
    print(
        f"{len(fit)} swings to fit to, {len(judge)} to judge by; errors of {len(banks[0])} and {len(banks[1])}",
        flush=True,
    )
    judge = [each for each in judge if abs(abs(each.azimuth) - 90) < SIDES]
    to_fit, to_judge = (
        list(zip(swings, neighbours(swings, bank), strict=True))
        for swings, bank in zip((fit, judge), banks, strict=True)
    )
    points = []
    for deep in (True, False):
        for part in PARTS[:-1] if deep else PARTS:
            told = point(to_fit, to_judge, part, deep, wish.steps)
            points.append({"errors": part, "learned body": deep, "told": told})
            print(json.dumps(points[-1]), flush=True)
        how = HOW.format(fit=len(fit), judge=len(judge), wide=WIDE, steps=wish.steps, size=SIZE // MOMENTS * MOMENTS)
        OUT.write_text(json.dumps({"how": how, "points": points}, indent=1) + "\n")


if __name__ == "__main__":
    main()
