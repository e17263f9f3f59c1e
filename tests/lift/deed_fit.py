"""Fit the network that tells a swing from everything else and put it into `analysis/read/lift.npz`.

    python -m tests.lift.deed_fit --moves FILE... [--unseen FILE...] --out analysis/read/lift.npz [--epochs N] [--end N] [--seed N]
    python -m tests.lift.deed_fit --moves FILE... --going-on FILE --end N --out FILE [--rate N] [--seed N]

Swings are looked at about their contact and at their own tempo. Everything else is no swing: people who walk, throw, check, take,
bunt or waggle; the time before a swing and after it; and a swing that is looked at as if it were quicker or slower than it was,
which is how a film that was slowed down looks. With ``--end`` it is fitted at last to drawn clips alone, in which arms get lost; with
``--going-on`` only that end is, from the network that a file of parameters holds. Needs torch.
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

from analysis.read.instant_network import AFTER_S, BEFORE_S, GRID_S, JOINT_COUNT
from analysis.read.swing_classifier import COLUMNS, DILATIONS, EVERY, MIDDLE

from .looks import in_parts, swing_looks
from .moves import Moves, open_moves
from .training import Course, Fitted, InTime, arrays_of, facts_of, put_into, spans_of, train
from .training import opened as opened_from

LOOKS = 10
# At the end: looks at each clip, how many of them lose an arm, when and for how long (half of it; mean or least, then spread), and how
# far off elbows and wrists are then, standing heights.
END_LOOKS = 20
LOST = 0.7
LOST_AT_S = (-0.05, 0.12)
LOST_FOR_S = (0.03, 0.15)
LOST_FAR = {"elbow": 0.07, "wrist": 0.12}


class Net(InTime):
    """The network of `analysis.read.swing_classifier`."""

    def __init__(self, wide: int, drop: float) -> None:
        super().__init__(len(COLUMNS), wide, DILATIONS, drop)
        self.last = nn.Linear(3 * wide, 1)

    def forward(self, rows: torch.Tensor) -> torch.Tensor:
        hidden = self.hidden(rows)
        pooled = torch.cat([hidden.mean(2), hidden.amax(2), hidden[:, :, MIDDLE]], 1)
        return self.last(self.drop(pooled))[:, 0]


def gathered(moves: list[Moves], count: int, seed: int) -> tuple[torch.Tensor, torch.Tensor, np.ndarray]:
    """Looks at all clips, whether each is one at a swing, and of which clip it is."""
    parts = in_parts(list(enumerate(moves)), partial(_part, count=count), seed)
    rows, goals, of = (np.concatenate(part) for part in zip(*parts, strict=True))
    return torch.tensor(rows), torch.tensor(goals, dtype=torch.float32), of


def _part(
    moves: list[tuple[int, Moves]], rng: np.random.Generator, count: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    rows, goals, of = [], [], []
    for k, move in moves:
        own, told = swing_looks(move, count, rng)
        rows += own
        goals += told
        of += [k] * len(own)
    return np.array(rows), np.array(goals), np.array(of)


def changed(rows: torch.Tensor, goals: torch.Tensor) -> torch.Tensor:
    """Other bodies and manners of the same deeds: joints led aside smoothly, wider and narrower moves, the legs of another deed of
    the same kind or none at all; noisier, of another size, beginning late or ending early."""
    n, device, count = len(rows), rows.device, rows.shape[2]
    solid = rows[:, : 3 * JOINT_COUNT].reshape(n, JOINT_COUNT, 3, count)
    known, inside = rows[:, 3 * JOINT_COUNT : 4 * JOINT_COUNT], rows[:, -1:]
    low = 6  # shoulders, elbows and wrists come first, then the legs
    legs = solid[:, low:].clone()
    for kind in (0, 1):
        own = torch.nonzero(goals == kind)[:, 0]
        legs[own] = solid[own[torch.randperm(len(own), device=device)], low:]
    swapped = (torch.rand(n, 1, 1, 1, device=device) < 0.3).float()
    gone = (torch.rand(n, 1, 1, 1, device=device) < 0.2).float()
    solid = torch.cat([solid[:, :low], (solid[:, low:] * (1 - swapped) + legs * swapped) * (1 - gone)], 1)
    middle = solid.mean(3, keepdim=True)
    solid = middle + (solid - middle) * (1 + 0.12 * torch.randn(n, JOINT_COUNT, 1, 1, device=device)).clamp(0.7, 1.3)
    slow = nn.functional.interpolate(
        torch.randn(n, JOINT_COUNT * 3, 7, device=device), size=count, mode="linear", align_corners=True
    )
    solid = (
        solid + 0.03 * slow.reshape(n, JOINT_COUNT, 3, count) + 0.05 * torch.randn(n, JOINT_COUNT, 3, 1, device=device)
    )
    solid = (solid + 0.008 * torch.randn_like(solid)) * (1 + 0.06 * torch.randn(n, 1, 1, 1, device=device))
    known = (known + 0.15 * torch.randn(n, JOINT_COUNT, 1, device=device)).clamp(0, 1)
    grid = torch.tensor(GRID_S[::EVERY], dtype=torch.float32, device=device)
    late = -BEFORE_S + 0.9 * torch.rand(n, 1, 1, device=device)
    late = torch.where(torch.rand(n, 1, 1, device=device) < 0.3, late, torch.full_like(late, -9.0))
    ends = 0.12 + AFTER_S * torch.rand(n, 1, 1, device=device)
    ends = torch.where(torch.rand(n, 1, 1, device=device) < 0.3, ends, torch.full_like(ends, 9.0))
    shown = inside * (grid >= late) * (grid <= ends)
    return torch.cat([solid.reshape(n, 3 * JOINT_COUNT, count) * shown, known * shown, shown], 1)


def with_lost_arms(rows: torch.Tensor) -> torch.Tensor:
    """Some in which an arm, or both, are lost for a while about the quickest moment, and seen less surely for it: taken for elsewhere,
    for the other arm, left where they were, or drawn to where they mostly are."""
    n, device, count = len(rows), rows.device, rows.shape[2]
    solid = rows[:, : 3 * JOINT_COUNT].reshape(n, JOINT_COUNT, 3, count).clone()
    known = rows[:, 3 * JOINT_COUNT : 4 * JOINT_COUNT].clone()
    true, surely = solid.clone(), known.clone()
    grid = torch.tensor(GRID_S[::EVERY], dtype=torch.float32, device=device)
    middle = LOST_AT_S[0] + LOST_AT_S[1] * torch.randn(n, 1, device=device)
    half = LOST_FOR_S[0] + LOST_FOR_S[1] * torch.rand(n, 1, device=device)
    spell = (0.5 + (half - (grid[None] - middle).abs()) / 0.03).clamp(0, 1) * rows[:, -1]
    spell = spell * (torch.rand(n, 1, device=device) < LOST)
    began = ((middle - half) - grid[None]).abs().argmin(1)
    way, first = torch.randint(0, 4, (n,), device=device), torch.randint(0, 2, (n,), device=device)
    both = (torch.rand(n, device=device) < 0.4) & (way != 1)  # not each taken for the other
    dim = 0.05 + 0.9 * torch.rand(n, 1, device=device)
    for side in (0, 1):
        share = spell * (both | (first == side)).float()[:, None]
        for part, far in ((2, LOST_FAR["elbow"]), (4, LOST_FAR["wrist"])):  # places among a look's joints, of the left
            own, other = true[:, part + side], true[:, part + 1 - side]
            wander = nn.functional.interpolate(
                torch.randn(n, 3, 16, device=device), size=count, mode="linear", align_corners=True
            )
            beside = 0.02 * torch.randn(n, 3, 1, device=device)
            ways = torch.stack([
                own + far * torch.randn(n, 3, 1, device=device) + 0.6 * far * wander,
                other + beside,
                own[torch.arange(n, device=device), :, began][:, :, None] + beside + torch.zeros_like(own),
                (own + own.mean(2, keepdim=True)) / 2,
            ])  # fmt: skip
            taken = ways[way, torch.arange(n, device=device)]
            solid[:, part + side] = own + share[:, None] * (taken - own)
            known[:, part + side] = surely[:, part + side] * (1 - share + share * dim)
    return torch.cat([solid.reshape(n, 3 * JOINT_COUNT, count), known, rows[:, -1:]], 1)


def fit(moves: list[Moves], wish: argparse.Namespace, device: str) -> Fitted:
    """The network fitted to the moves."""
    torch.manual_seed(wish.seed)
    rows, goals, _ = gathered(moves, LOOKS, wish.seed)
    rows, goals = rows.to(device), goals.to(device)
    fitted = Fitted(Net(wish.wide, wish.drop).to(device), *spans_of(rows))
    return train(fitted, rows, _loss_of(fitted, goals, lost=False), Course(wish.epochs))


def ended(fitted: Fitted, drawn: list[Moves], wish: argparse.Namespace, device: str) -> Fitted:
    """The same network after an end with drawn clips alone: those that were never drawn do not know how arms get lost when the hands
    are quick."""
    torch.manual_seed(wish.seed)
    rows, goals, _ = gathered(drawn, END_LOOKS, wish.seed)
    rows, goals = rows.to(device), goals.to(device)
    return train(fitted, rows, _loss_of(fitted, goals, lost=True), Course(wish.end, rate=wish.rate, lasting=0.99))


def _loss_of(fitted: Fitted, goals: torch.Tensor, lost: bool) -> Callable[[torch.Tensor, torch.Tensor], torch.Tensor]:
    """How far the network is off whether each is one at a swing [N]; ``lost``, whether arms get lost."""
    balance = (len(goals) - goals.sum()) / goals.sum()
    print(f"{len(goals)} looks, {float(goals.mean()):.0%} at swings", flush=True)

    def loss_of(seen: torch.Tensor, pick: torch.Tensor) -> torch.Tensor:
        scores = fitted.scores(changed(with_lost_arms(seen) if lost else seen, goals[pick]))
        return nn.functional.binary_cross_entropy_with_logits(scores, goals[pick] * 0.98 + 0.01, pos_weight=balance)

    return loss_of


def opened(path: Path, drop: float, device: str) -> Fitted:
    """The network that a file of parameters holds."""
    with np.load(path) as kept:
        last, bias = (torch.tensor(kept[f"deed_{name}"]).float() for name in ("last", "bias"))
        net = Net(len(kept["deed_b0"]), drop)
    net.last.weight.data, net.last.bias.data = last[None], bias
    return opened_from(path, "deed_", net, [], device)


def told(fitted: Fitted, moves: list[Moves], device: str) -> dict[str, float]:
    """Of looks at other clips, the shares taken rightly, by what they are of."""
    rows, goals, of = gathered(moves, 10, 0)
    fitted.net.eval()
    with torch.no_grad():
        scores = [
            fitted.scores(rows[first : first + 1024].float().to(device)).cpu() for first in range(0, len(rows), 1024)
        ]
    found = torch.cat(scores).numpy()
    names = np.array([moves[k].act or ("swing", "recorded", "free")[moves[k].kind] for k in of])
    out = {}
    for name in sorted(set(names)):
        for goal in (0, 1):
            own = (names == name) & (goals.numpy() == goal)
            if own.any():
                out[f"{name}, {'a swing' if goal else 'none'}"] = round(
                    float(np.mean((found[own] > 0) == bool(goal))), 3
                )
    return out


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Fit what tells swings from everything else.")
    parser.add_argument("--moves", type=Path, nargs="+", required=True, help="of drawn clips")
    parser.add_argument("--unseen", type=Path, nargs="*", default=[], help="of clips that were never drawn")
    parser.add_argument("--going-on", type=Path, help="parameters to go on from: only the end is fitted")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--epochs", type=int, default=8)
    parser.add_argument("--end", type=int, default=0, help="epochs at the end with drawn clips alone")
    parser.add_argument("--rate", type=float, default=1e-3, help="of learning, at the end")
    parser.add_argument("--wide", type=int, default=64)
    parser.add_argument("--drop", type=float, default=0.2)
    parser.add_argument("--seed", type=int, default=1)
    wish = parser.parse_args()
    if wish.going_on and not wish.end:
        parser.error("say how long the end is (--end): with --going-on nothing else is fitted")
    device = "cuda" if torch.cuda.is_available() else "cpu"
    moves, unseen = ([move for path in paths for move in open_moves(path)] for paths in (wish.moves, wish.unseen))
    drawn, other = [m for m in moves if m.use == "fit"], [m for m in moves if m.use == "tune"]
    own = drawn + [m for m in unseen if m.use == "fit"]
    fitted = opened(wish.going_on, wish.drop, device) if wish.going_on else fit(own, wish, device)
    if wish.end:
        fitted = ended(fitted, drawn, wish, device)
    scores = told(fitted, other, device) if other else {}
    print(json.dumps(scores, indent=1))
    net = fitted.net
    arrays = arrays_of(fitted, "deed_", [net.first, *net.blocks])
    arrays["deed_last"] = net.last.weight.detach().flatten().cpu().numpy()
    arrays["deed_bias"] = net.last.bias.detach().cpu().numpy()
    facts = {
        "made_by": "tests.lift.deed_fit", "clips": len(own), "swings": sum(m.kind == 0 for m in own),
        "epochs": 0 if wish.going_on else wish.epochs,
        "wide": len(net.last.weight[0]) // 3, "seed": wish.seed,
        "end": {"clips": len(drawn), "epochs": wish.end, "rate": wish.rate} if wish.end else None,
        "going on from": facts_of(wish.going_on, "deeds") if wish.going_on else None, "on the tuning clips": scores,
    }  # fmt: skip
    put_into(wish.out, "deed_", arrays, {"deeds": facts})


if __name__ == "__main__":
    main()
