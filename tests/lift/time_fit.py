"""Fit the network that tells a swing's instants and put it into `analysis/read/lift.npz`.

    python -m tests.lift.time_fit --moves FILE... --unseen FILE... --out analysis/read/lift.npz [--epochs N] [--end N]
    python -m tests.lift.time_fit --moves FILE... [--looks FILE...] --going-on FILE --end N --out FILE
    python -m tests.lift.time_fit --moves FILE... --looks FILE... --out FILE [--epochs N] [--end N]
    python -m tests.lift.time_fit --moves FILE... --unseen FILE... --shares 0.25 0.5 1

It is fitted to the swings among the clips to fit to, whose instants `tests.lift.label` and `tests.lift.unseen` tell; those to tune by
say when to stop. ``--looks`` are looks at swings that were never drawn as `tests.lift.unseen --looks` keeps them. With ``--shares`` it
only asks whether more swings would help: it is fitted to growing shares of them, each for as many steps, and writes
`tests/lift/data/times-curve.json`, which `python -m analysis.validate` shows. Needs torch.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
import torch
from torch import nn

from analysis.read.instant_network import BEFORE_S, DILATIONS, GRID_S, INPUTS, PREDICTED, STEP_S

from .looks import in_parts, instant_looks, open_looks
from .moves import Moves, open_moves
from .people import FITTING
from .training import Course, Fitted, InTime, arrays_of, facts_of, opened, put_into, spans_of, train

LOOKS = 10  # at each swing, each a little later, slower or turned
LABEL_SD_S = 0.010
LOST = 0.3  # of the looks in which arms get lost
ARMS = {
    2: 0.06,
    3: 0.06,
    4: 0.1,
    5: 0.1,
}  # elbows and wrists among the parts that are looked at, and how far off, standing heights
CURVE = Path(__file__).parent / "data" / "times-curve.json"
HOW = (
    "Networks of the instants, {wide} wide, fitted to growing shares of the swings; judged on {judged} swings of the tuning clips: how "
    "many of their instants lie within so many frames of the truth."
)
WITHIN = {"foot_down": 1, "swing_start": 2, "set_up": 2, "extension": 1}  # frames of 60 a second


class Net(InTime):
    """The network of `analysis.read.instant_network`."""

    def __init__(self, wide: int, drop: float) -> None:
        super().__init__(INPUTS, wide, DILATIONS, drop)
        self.last = nn.Conv1d(wide, len(PREDICTED), 3, padding=1)

    def forward(self, rows: torch.Tensor) -> torch.Tensor:
        return self.last(self.hidden(rows))


def _rows(moves: list[Moves], looks: int, seed: int) -> tuple[torch.Tensor, torch.Tensor]:
    """Inputs [N, INPUTS, G] and instants [N, I] in real seconds from the centre, also those that the film does not show."""
    rows, goals = zip(*in_parts(moves, partial(instant_looks, looks=looks), seed), strict=True)
    return torch.tensor(np.concatenate(rows)), torch.tensor(np.concatenate(goals), dtype=torch.float32)


def _changed(rows: torch.Tensor, parts: int) -> torch.Tensor:
    """Noisier, of another size, and some beginning late."""
    n, device = len(rows), rows.device
    inside, flat, solid = rows[:, -1:], rows[:, : 2 * parts], rows[:, 2 * parts : 5 * parts]
    flat = flat * (1 + 0.04 * torch.randn(n, 1, 1, device=device))
    flat = flat + 0.008 * torch.randn(n, 2 * parts, 1, device=device) + 0.002 * torch.randn_like(flat)
    solid = solid + 0.03 * torch.randn(n, 3 * parts, 1, device=device) + 0.006 * torch.randn_like(solid)
    late = torch.where(
        torch.rand(n, 1, device=device) < 0.3,
        -BEFORE_S + 0.7 * torch.rand(n, 1, device=device),
        torch.tensor(-9.0, device=device),
    )
    grid = torch.tensor(GRID_S, dtype=torch.float32, device=device)
    shown = inside * (grid[None, None] >= late[:, :, None])
    # What is seen in the picture alone must do now and then.
    blind = (torch.rand(n, 1, 1, device=device) < 0.1).float()
    moved = torch.cat([flat, solid * (1 - blind), rows[:, 5 * parts : -3]], 1) * shown
    return torch.cat([moved, rows[:, -3:-1], shown], 1)


def _lost(rows: torch.Tensor, parts: int) -> torch.Tensor:
    """Some in which elbows and wrists are taken for elsewhere for a while about the swing, as where blur or somebody else hides them."""
    n, device = len(rows), rows.device
    grid = torch.tensor(GRID_S, dtype=torch.float32, device=device)
    some = (torch.rand(n, 1, device=device) < LOST).float() * rows[:, -1]
    middle, half = -0.35 + 0.6 * torch.rand(n, 1, device=device), 0.025 + 0.1 * torch.rand(n, 1, device=device)
    spell = (((grid[None] - middle).abs() < half) * some)[:, None]
    rows = rows.clone()
    for first, axes in ((0, 2), (2 * parts, 3)):
        for part, far in ARMS.items():
            these = slice(first + part * axes, first + (part + 1) * axes)
            rows[:, these] += spell * far * torch.randn(n, axes, 1, device=device)
    return rows


def fit(
    looks: tuple[torch.Tensor, torch.Tensor],
    drawn: list[Moves],
    wide: int,
    drop: float,
    epochs: int,
    end: int,
    seed: int,
    device: str,
) -> Fitted:
    """The network fitted to looks at swings, inputs [N, INPUTS, G] and instants [N, I].

    At the end it is fitted to the ``drawn`` ones alone for ``end`` epochs: the errors of swings that were never drawn do not know when
    the hands are quick.
    """
    torch.manual_seed(seed)
    rows, goals = (each.to(device) for each in looks)
    fitted = Fitted(Net(wide, drop).to(device), *spans_of(rows))
    fitted = train(fitted, rows, _loss_of(fitted, goals, lost=False), Course(epochs))
    if not end:
        return fitted
    return going_on(fitted, _rows(drawn, LOOKS, seed), Course(end, rate=6e-4, lasting=0.99), seed, lost=True)


def going_on(fitted: Fitted, looks: tuple[torch.Tensor, torch.Tensor], course: Course, seed: int, lost: bool) -> Fitted:
    """The network fitted for one more course to looks, inputs [N, INPUTS, G] and instants [N, I]; ``lost``, whether arms get lost."""
    torch.manual_seed(seed)
    rows, goals = (each.to(fitted.mean.device) for each in looks)
    return train(fitted, rows, _loss_of(fitted, goals, lost), course)


def _loss_of(fitted: Fitted, goals: torch.Tensor, lost: bool) -> Callable[[torch.Tensor, torch.Tensor], torch.Tensor]:
    """How far the network is off the instants [N, I]; ``lost``, whether arms get lost."""
    grid, parts = torch.tensor(GRID_S, dtype=torch.float32, device=goals.device), (INPUTS - 3) // 6

    def loss_of(seen: torch.Tensor, pick: torch.Tensor) -> torch.Tensor:
        when = goals[pick]
        scores = fitted.scores(_changed(_lost(seen, parts) if lost else seen, parts))
        shown = (when > GRID_S[0]) & (when < GRID_S[-1])
        wanted = torch.softmax(-0.5 * ((grid - when[..., None]) / LABEL_SD_S) ** 2, -1)
        off = -(wanted * torch.log_softmax(scores, -1)).sum(-1)
        return (off * shown).sum() / shown.sum()

    return loss_of


def _off(fitted: Fitted, moves: list[Moves], device: str) -> dict[tuple[str, str], np.ndarray]:
    """How far the middle of each answer is off on other swings, in frames of 60 a second, by instant and view."""
    rows, goals = _rows(moves, 1, 0)
    fitted.net.eval()
    with torch.no_grad():
        chances = torch.softmax(fitted.scores(rows.float().to(device)), -1).cpu().numpy()
    sides = np.array([abs(np.cos(np.radians(m.ahead))) > 0.7 for m in moves])
    out = {}
    for k, name in enumerate(PREDICTED):
        found = np.array([np.interp(0.5, np.cumsum(row), GRID_S + STEP_S / 2) for row in chances[:, k]])
        off = 60 * (found - goals[:, k].numpy())
        out[name, "side"], out[name, "along"] = off[sides], off[~sides]
    return out


def told(fitted: Fitted, moves: list[Moves], device: str) -> dict[str, str]:
    """The same in words."""
    return {
        f"{name}, {view}": f"median {np.median(size := np.abs(off)):.2f}, within 1 {np.mean(size <= 1):.0%}, "
        f"within 2 {np.mean(size <= 2):.0%}, beyond 6 {np.mean(size > 6):.0%}, bias {np.median(off):.2f}"
        for (name, view), off in _off(fitted, moves, device).items()
    }


def _curve(wish: argparse.Namespace, own: list[Moves], other: list[Moves], device: str) -> None:
    order = np.random.default_rng(wish.seed).permutation(len(own))
    points = []
    for share in wish.shares:
        some = [own[k] for k in order[: max(1, round(share * len(own)))]]
        looks = _rows(some, LOOKS, wish.seed)
        fitted = fit(looks, [], wish.wide, wish.drop, max(1, round(wish.epochs / share)), 0, wish.seed, device)
        off = _off(fitted, other, device)
        within = {
            f"{name} within {frames}, {view}": round(float(np.mean(np.abs(off[name, view]) <= frames)), 3)
            for name, frames in WITHIN.items()
            for view in ("side", "along")
        }
        points.append({"swings": len(some), "within": within})
        print(json.dumps(points[-1]), flush=True)
    CURVE.write_text(
        json.dumps({"how": HOW.format(wide=wish.wide, judged=len(other)), "points": points}, indent=1) + "\n"
    )


def _looks(wish: argparse.Namespace, own: list[Moves]) -> tuple[torch.Tensor, torch.Tensor]:
    """All looks to fit to: those that files hold and those at ``own`` moves."""
    parts = [_rows(own, LOOKS, wish.seed)] if own else []
    if wish.looks:
        parts.append(tuple(torch.tensor(each) for each in open_looks(wish.looks)))
    rows, goals = zip(*parts, strict=True)
    return torch.cat(rows), torch.cat(goals)


def _fit(wish: argparse.Namespace) -> None:
    device = "cuda" if torch.cuda.is_available() else "cpu"
    drawn, unseen = (
        [m for path in paths for m in open_moves(path) if m.instants] for paths in (wish.moves, wish.unseen)
    )
    other, drawn = [m for m in drawn if m.use == "tune"], [m for m in drawn if m.use in FITTING]
    own = drawn + [m for m in unseen if m.use in FITTING]
    looked = sum(int(np.load(path)["swings"]) for path in wish.looks)
    if wish.shares:
        _curve(wish, own, other, device)
        return
    if wish.going_on:
        net = Net(wish.wide, wish.drop)
        begun = opened(wish.going_on, "time_", net, [net.last], device)
        fitted = going_on(begun, _looks(wish, own), Course(wish.end, rate=wish.rate), wish.seed, wish.lost)
    else:
        fitted = fit(_looks(wish, own), drawn, wish.wide, wish.drop, wish.epochs, wish.end, wish.seed, device)
    scores = told(fitted, other, device)
    print(json.dumps(scores, indent=1))
    rounds = (
        {"went on for": wish.end} if wish.going_on else {"epochs": wish.epochs, "then on drawn ones alone": wish.end}
    )
    facts = {
        "made_by": "tests.lift.time_fit", "swings": len(own) + looked, "never drawn": len(own) - len(drawn) + looked, **rounds,
        "wide": wish.wide, "drop": wish.drop, "seed": wish.seed, "on the tuning clips": scores,
        "going on from": facts_of(wish.going_on, "instants") if wish.going_on else None,
    }  # fmt: skip
    net = fitted.net
    put_into(wish.out, "time_", arrays_of(fitted, "time_", [net.first, *net.blocks, net.last]), {"instants": facts})


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Fit what tells the instants of a swing.")
    parser.add_argument("--moves", type=Path, nargs="+", required=True, help="of drawn clips")
    parser.add_argument("--unseen", type=Path, nargs="*", default=[], help="of clips that were never drawn")
    parser.add_argument("--looks", type=Path, nargs="*", default=[], help="looks at swings that were never drawn")
    parser.add_argument("--out", type=Path)
    parser.add_argument("--shares", type=float, nargs="*", default=[])
    parser.add_argument("--epochs", type=int, default=30)
    parser.add_argument(
        "--end", type=int, default=4, help="epochs at the end with drawn clips alone; of --going-on, with what is given"
    )
    parser.add_argument("--going-on", type=Path, help="parameters to go on from, by all moves and looks")
    parser.add_argument("--lost", action="store_true", help="arms get lost now and then, where it goes on")
    parser.add_argument("--rate", type=float, default=1e-3, help="of learning, where it goes on")
    parser.add_argument("--wide", type=int, default=96)
    parser.add_argument("--drop", type=float, default=0.2)
    parser.add_argument("--seed", type=int, default=1)
    wish = parser.parse_args()
    if not (wish.out or wish.shares):
        parser.error("say where to write to (--out), or which shares to try (--shares)")
    _fit(wish)


if __name__ == "__main__":
    main()
