"""Fit the lift to watched clips and write `analysis/read/lift.npz`.

    python -m tests.lift.fit --data FOLDER... --out FILE [--epochs N] [--until N] [--wide N] [--blocks N] [--share S] [--seed N]

FOLDER... hold the clips that `tests.lift.make` wrote: fit-* to fit to, tune-* for the correlations of errors and for choosing when to
stop (``--tune`` names another folder of them); judge-* are not opened here. What FILE holds of the other networks
stays. ``--share`` fits to a part of the clips, for a learning curve. Needs torch.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import multiprocessing
import time
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
import torch
from torch import nn

from analysis.read.apparent_lengths import LENGTHS
from analysis.read.lift import FARTHEST, JOINTS, LOG_SDS, OUTPUTS, WINDOW_S
from analysis.read.motion import SEEN
from analysis.tracks import KEYPOINTS

from .samples import READ_S, samples

PARTS = LENGTHS // 3
REPORT = 5  # epochs
# Turns in the picture while fitting, degrees (deviation): of a phone held level, and of one held aslant.
LEVEL, ASLANT = 3.0, 15.0
NAMES = {place: name for name, place in KEYPOINTS.items()}
BONES = (
    ("hip", "knee"), ("knee", "ankle"), ("ankle", "heel"), ("heel", "toe"), ("hip", "shoulder"), ("shoulder", "elbow"), ("elbow", "wrist"),
)  # fmt: skip
ACROSS = ("hip", "knee", "ankle", "shoulder", "ear", "wrist")


def _other(names: list[str]) -> list[int]:
    swap = {"left": "right", "right": "left"}
    return [
        names.index("_".join([swap[n.split("_")[0]], *n.split("_")[1:]])) if n.split("_")[0] in swap else k
        for k, n in enumerate(names)
    ]


class Lift(nn.Module):
    """The network of `analysis.read.lift`."""

    def __init__(self, entries: int, wide: int, blocks: int, drop: float) -> None:
        super().__init__()
        self.first = nn.Linear(entries, wide)
        self.blocks = nn.ModuleList(
            [nn.ModuleList([nn.Linear(wide, wide), nn.Linear(wide, wide)]) for _ in range(blocks)]
        )
        self.last = nn.Linear(wide, 2 * OUTPUTS)
        self.drop = nn.Dropout(drop)
        nn.init.zeros_(self.last.weight[OUTPUTS:])
        with torch.no_grad():
            self.last.bias[OUTPUTS:] = -3.0

    def forward(self, rows: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        hidden = nn.functional.silu(self.first(self.drop(rows)))
        for one, two in self.blocks:
            hidden = hidden + two(self.drop(nn.functional.silu(one(hidden))))
        out = self.last(hidden)
        return out[:, :OUTPUTS], out[:, OUTPUTS:].clamp(*LOG_SDS)

    def layers(self) -> list[nn.Linear]:
        return [self.first, *(layer for block in self.blocks for layer in block), self.last]


@dataclass(frozen=True)
class Noise:
    """Errors added while fitting: of keypoints in the picture and of the learned body's places (standing heights), and of its
    turn (degrees); all of them last for a window."""

    flat: float = 0.006
    deep: float = 0.012
    tilt: float = 0.0
    aslant: float = 0.0  # share of the pictures that are turned as a phone held aslant turns them


class Changes:
    """Samples changed at random in ways that keep them true: mirrored, turned in the picture, noisier, another size."""

    def __init__(self, device: str, noise: Noise) -> None:
        self.count, self.noise = len(SEEN), noise
        self.seen_other = torch.tensor(_other([NAMES[place] for place in SEEN]), device=device)
        self.joint_other = torch.tensor(_other(list(JOINTS)), device=device)
        self.device = device

    def __call__(self, rows: torch.Tensor, wanted: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        n, c, t = len(rows), self.count, len(WINDOW_S)
        body = rows[:, : t * c * 5].reshape(n, t, c * 5)
        flat, deep = body[..., : 2 * c].reshape(n, t, c, 2), body[..., 2 * c :].reshape(n, t, c, 3)
        seen, long = rows[:, t * c * 5 : t * c * 5 + c], rows[:, t * c * 5 + c :]
        joints, up = wanted[:, : 3 * len(JOINTS)].reshape(n, len(JOINTS), 3), wanted[:, 3 * len(JOINTS) :]
        mirror = torch.rand(n, device=self.device) < 0.5
        sign = torch.where(mirror, -1.0, 1.0)
        one3 = torch.stack([sign, torch.ones_like(sign), torch.ones_like(sign)], 1)
        m = mirror[:, None, None, None]
        flat = torch.where(m, flat[:, :, self.seen_other], flat) * one3[:, None, None, :2]
        deep = torch.where(m, deep[:, :, self.seen_other], deep) * one3[:, None, None]
        seen = torch.where(mirror[:, None], seen[:, self.seen_other], seen)
        joints = torch.where(mirror[:, None, None], joints[:, self.joint_other], joints) * one3[:, None]
        up = up * one3
        aslant = torch.rand(n, device=self.device) < self.noise.aslant
        angle = torch.randn(n, device=self.device) * torch.where(aslant, np.radians(ASLANT), np.radians(LEVEL))
        cos, sin = torch.cos(angle), torch.sin(angle)
        turn = torch.stack([torch.stack([cos, -sin], 1), torch.stack([sin, cos], 1)], 1)
        flat = torch.einsum("nij,ntcj->ntci", turn, flat)
        deep = torch.cat([torch.einsum("nij,ntcj->ntci", turn, deep[..., :2]), deep[..., 2:]], -1)
        joints = torch.cat([torch.einsum("nij,nkj->nki", turn, joints[..., :2]), joints[..., 2:]], -1)
        up = torch.cat([torch.einsum("nij,nj->ni", turn, up[:, :2]), up[:, 2:]], -1)
        size = 1 + 0.025 * torch.randn(n, 1, 1, 1, device=self.device)
        flat = flat * size
        shown = torch.cat(
            [size.view(n, 1).expand(n, 2 * PARTS), torch.ones(n, long.shape[1] - 2 * PARTS, device=self.device)], 1
        )
        long = long * shown * (1 + 0.03 * torch.randn_like(long))
        steady = torch.randn(n, 1, c, 2, device=self.device) * self.noise.flat
        flat = flat + steady + torch.randn_like(flat) * 0.002
        # How far the learned body is off differs from picture to picture, so that it cannot be leaned on too hard.
        much = torch.rand(n, 1, 1, 1, device=self.device) * 2
        deep = deep + torch.randn(n, 1, c, 3, device=self.device) * self.noise.deep * much
        deep = torch.einsum("nij,ntcj->ntci", self._tilts(n), deep)
        seen = (seen + 0.05 * torch.randn_like(seen)).clamp(0, 1)
        body = torch.cat([flat.reshape(n, t, -1), deep.reshape(n, t, -1)], -1).reshape(n, -1)
        return torch.cat([body, seen, long], 1), torch.cat([joints.reshape(n, -1), up], 1)

    def _tilts(self, count: int) -> torch.Tensor:
        """Small turns [N, 3, 3] of the learned body against the picture."""
        x, y, z = (torch.randn(3, count, device=self.device) * np.radians(self.noise.tilt)).unbind()
        nothing = torch.zeros_like(x)
        rows = [torch.stack(row, 1) for row in ((nothing, -z, y), (z, nothing, -x), (-y, x, nothing))]
        return torch.linalg.matrix_exp(torch.stack(rows, 1))


TRIPLES = tuple(tuple(JOINTS.index(f"{side}_{j}") for j in ("hip", "knee", "ankle")) for side in ("left", "right"))
# Lines whose direction from above is read: across hips, shoulders and ankles, and along the feet.
LINES = tuple(
    (JOINTS.index(first), JOINTS.index(second))
    for first, second in (
        ("left_hip", "right_hip"), ("left_shoulder", "right_shoulder"), ("left_ankle", "right_ankle"),
        ("left_toe", "left_heel"), ("right_toe", "right_heel"),
    )
)  # fmt: skip


def _angles(a: torch.Tensor, b: torch.Tensor, own: torch.Tensor) -> torch.Tensor:
    """Mean error of the knees' bends and of the lines' directions from above, radians, of joints [N, J, 3] weighed by [N]."""
    total = torch.zeros((), device=a.device)
    for hip, knee, ankle in TRIPLES:
        bends = []
        for places in (a, b):
            one, two = places[:, knee] - places[:, hip], places[:, ankle] - places[:, knee]
            across = torch.sqrt((torch.cross(one, two, dim=1) ** 2).sum(1) + 1e-8)
            bends.append(torch.atan2(across, (one * two).sum(1)))
        total = total + ((bends[0] - bends[1]).abs() * own).mean()
    for first, second in LINES:
        ways = [places[:, first][:, [0, 2]] - places[:, second][:, [0, 2]] for places in (a, b)]
        # A line that is short from above has no direction to speak of: weighed by its true length.
        weight = (ways[1].norm(dim=1) / 0.1).clamp(max=1.0)
        cross = ways[0][:, 0] * ways[1][:, 1] - ways[0][:, 1] * ways[1][:, 0]
        off = torch.atan2(cross, (ways[0] * ways[1]).sum(1) + 1e-6)
        total = total + (own * weight * off.abs()).mean()
    return total / (len(TRIPLES) + len(LINES))


def _bones() -> tuple[list[int], list[int]]:
    first, second = [], []
    for side in ("left", "right"):
        for a, b in BONES:
            first.append(JOINTS.index(f"{side}_{a}"))
            second.append(JOINTS.index(f"{side}_{b}"))
    for joint in ACROSS:
        first.append(JOINTS.index(f"left_{joint}"))
        second.append(JOINTS.index(f"right_{joint}"))
    return first, second


def load_samples(files: list[Path], processes: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Features, answers and facts of the clips of some files; kept beside them for the next time."""
    words = " ".join([*(file.name for file in files), str(WINDOW_S), str(LENGTHS), "after contact"])
    kept = files[0].parent / f"samples-{hashlib.sha256(words.encode()).hexdigest()[:12]}.npz"
    if kept.exists():
        with np.load(kept) as data:
            return data["rows"], data["wanted"], data["facts"]
    rows, wanted, facts = _looked(files, processes)
    np.savez(kept, rows=rows, wanted=wanted, facts=facts)
    return rows, wanted, facts


def _looked(files: list[Path], processes: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        parts = pool.map(samples, files, chunksize=1)
    parts = [part for part in parts if len(part[0])]
    return tuple(np.concatenate(part) for part in zip(*parts, strict=True))  # type: ignore[return-value]


def fit(
    rows: np.ndarray,
    wanted: np.ndarray,
    wide: int,
    blocks: int,
    drop: float,
    epochs: int,
    seed: int,
    device: str,
    angles: float,
    weights: np.ndarray,
    size: int,
    rate: float,
    report: int,
    keep: Callable[[Lift, torch.Tensor, torch.Tensor, int], None],
    noise: Noise = Noise(),
    start: Path | None = None,
    until: int | None = None,
) -> None:
    """Fit a network; now and then and at the end ``keep`` gets it, with the mean and deviation of the features.

    ``start``: parameters written before, to go on from. ``until``: the last epoch, where the course is left before its end.
    """
    torch.manual_seed(seed)
    looked, goal = torch.tensor(rows, dtype=torch.float16, device=device), torch.tensor(wanted, device=device)
    mean, std = looked.float().mean(0), looked.float().std(0).clamp_min(1e-3)
    net = Lift(rows.shape[1], wide, blocks, drop).to(device)
    if start:
        with np.load(start) as kept:
            mean, std = go_on(net, kept, device)
    smooth = torch.optim.swa_utils.AveragedModel(net, multi_avg_fn=torch.optim.swa_utils.get_ema_multi_avg_fn(0.998))
    weight = torch.tensor(weights / weights.mean(), dtype=torch.float32, device=device)
    steps = max(1, len(looked) // size)
    optimiser = torch.optim.AdamW(net.parameters(), lr=rate, weight_decay=0.05)
    plan = torch.optim.lr_scheduler.OneCycleLR(optimiser, rate, total_steps=epochs * steps, pct_start=0.1)
    change = Changes(device, noise)
    first, second = _bones()
    joints = 3 * len(JOINTS)
    began = time.time()
    count = min(epochs, until or epochs)
    for epoch in range(count):
        order = torch.randperm(len(looked), device=device)
        total = torch.zeros((), device=device)
        for step in range(steps):
            pick = order[step * size : (step + 1) * size]
            x, y = change(looked[pick].float(), goal[pick])
            guess, spread = net(((x - mean) / std).clamp(-FARTHEST, FARTHEST))
            off = guess - y
            variance = torch.exp(2 * spread)
            # The likelihood weighed by the spread itself, held still: sure samples do not drown the rest.
            own = weight[pick]
            loss = (((off**2 / variance + 2 * spread) * variance.detach() ** 0.5).mean(1) * own).mean()
            a, b = guess[:, :joints].reshape(-1, len(JOINTS), 3), y[:, :joints].reshape(-1, len(JOINTS), 3)
            ways = (a[:, first] - a[:, second]) - (b[:, first] - b[:, second])
            loss = (
                loss
                + 0.5 * (torch.sqrt((ways**2).sum(-1) + 1e-5).mean(1) * own).mean()
                + 0.5 * (off.abs().mean(1) * own).mean()
                + angles * _angles(a, b, own)
            )
            optimiser.zero_grad(set_to_none=True)
            loss.backward()
            nn.utils.clip_grad_norm_(net.parameters(), 1.0)
            optimiser.step()
            plan.step()
            smooth.update_parameters(net)
            total += loss.detach()
        if epoch % report == report - 1 or epoch == count - 1:
            print(f"epoch {epoch + 1} loss {float(total) / steps:.4f} {time.time() - began:.0f} s", flush=True)
            keep(smooth.module, mean, std, epoch + 1)


def go_on(net: Lift, kept: Mapping[str, np.ndarray], device: str) -> tuple[torch.Tensor, torch.Tensor]:
    """Put parameters written before into a network; gives the mean and deviation of the features that they were fitted to."""
    with torch.no_grad():
        for n, layer in enumerate(net.layers()):
            layer.weight.copy_(torch.tensor(kept[f"w{n}"].T.astype(np.float32)))
            layer.bias.copy_(torch.tensor(kept[f"b{n}"]))
    mean, std = (torch.tensor(kept[name].astype(np.float32), device=device) for name in ("mean", "std"))
    return mean, std


def run(
    net: Lift, mean: torch.Tensor, std: torch.Tensor, rows: np.ndarray, device: str
) -> tuple[np.ndarray, np.ndarray]:
    """Means and deviations for features."""
    net.eval()
    out = []
    with torch.no_grad():
        for start in range(0, len(rows), 16384):
            x = torch.tensor(rows[start : start + 16384], dtype=torch.float32, device=device)
            guess, spread = net(((x - mean) / std).clamp(-FARTHEST, FARTHEST))
            out.append((guess.cpu().numpy(), torch.exp(spread).cpu().numpy()))
    net.train()
    return np.concatenate([o[0] for o in out]), np.concatenate([o[1] for o in out])


def _bend(places: np.ndarray, side: str) -> np.ndarray:
    hip, knee, ankle = (places[:, JOINTS.index(f"{side}_{j}")] for j in ("hip", "knee", "ankle"))
    a, b = knee - hip, ankle - knee
    return np.degrees(np.arctan2(np.linalg.norm(np.cross(a, b), axis=1), (a * b).sum(1)))


def _heading(places: np.ndarray, first: str, second: str) -> np.ndarray:
    way = places[:, JOINTS.index(first)] - places[:, JOINTS.index(second)]
    return np.degrees(np.arctan2(way[:, 2], way[:, 0]))


def _told(guess: np.ndarray, spread: np.ndarray, wanted: np.ndarray) -> str:
    """How far means [N, OUTPUTS] are off, in words."""
    joints = 3 * len(JOINTS)
    a, b = guess[:, :joints].reshape(-1, len(JOINTS), 3), wanted[:, :joints].reshape(-1, len(JOINTS), 3)
    knees = np.mean([np.abs(_bend(a, s) - _bend(b, s)).mean() for s in ("left", "right")])
    told = [f"place {np.linalg.norm(a - b, axis=2).mean() * 100:.2f}%", f"knees {knees:.2f}"]
    for name, one, two in (
        ("shoulders", "left_shoulder", "right_shoulder"), ("hips", "left_hip", "right_hip"),
        ("ankles", "left_ankle", "right_ankle"), ("foot", "left_toe", "left_heel"),
    ):  # fmt: skip
        off = (_heading(a, one, two) - _heading(b, one, two) + 180) % 360 - 180
        told.append(f"{name} {np.median(np.abs(off)):.2f}")
    held = np.abs(guess - wanted) < 1.645 * spread
    return " ".join([*told, f"held {held.mean():.3f}"])


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Fit the lift.")
    parser.add_argument(
        "--data", type=Path, nargs="+", required=True, help="folders; the first holds the clips to tune by, too"
    )
    parser.add_argument("--tune", type=Path, help="folder of the clips to tune by, where they lie elsewhere")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--epochs", type=int, default=60)
    parser.add_argument("--until", type=int, help="the last epoch, where the course is left before its end")
    parser.add_argument("--wide", type=int, default=416)
    parser.add_argument("--blocks", type=int, default=3)
    parser.add_argument("--drop", type=float, default=0.1, help="share of the numbers left out at random while fitting")
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--last", type=int, help="number of the last clip to fit to")
    parser.add_argument("--angles", type=float, default=0.1, help="weight of the angles that are read, in the loss")
    parser.add_argument(
        "--focus", type=float, default=3.0, help="how much more the frames count in which a swing is read"
    )
    parser.add_argument("--size", type=int, default=1024, help="samples a step")
    parser.add_argument("--rate", type=float, default=1.2e-3, help="highest learning rate")
    parser.add_argument("--report", type=int, default=REPORT, help="epochs from one report to the next")
    parser.add_argument("--flat", type=float, default=Noise.flat, help="errors added to keypoints in the picture")
    parser.add_argument("--deep", type=float, default=Noise.deep, help="errors added to the learned body")
    parser.add_argument("--tilt", type=float, default=Noise.tilt, help="turns added to the learned body, degrees")
    parser.add_argument(
        "--aslant", type=float, default=Noise.aslant, help="share of pictures turned by some 15 degrees"
    )
    parser.add_argument("--start", type=Path, help="parameters to go on from")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    began = time.time()
    files = [file for folder in wish.data for file in sorted(folder.glob("fit-*.npz"))]
    if wish.last is not None:
        files = [file for file in files if int(file.stem.split("-")[1]) <= wish.last]
    files = files[: max(1, round(wish.share * len(files)))]
    rows, wanted, facts = load_samples(files, wish.processes)
    tuned, goal, about = load_samples(sorted((wish.tune or wish.data[0]).glob("tune-*.npz")), wish.processes)
    print(
        f"{len(rows)} frames of {len(np.unique(facts[:, 0]))} clips to fit, {len(tuned)} to tune; {time.time() - began:.0f} s",
        flush=True,
    )
    noise = Noise(wish.flat, wish.deep, wish.tilt, wish.aslant)
    about_fit = {
        "made_by": "tests.lift.make and tests.lift.fit",
        "clips": len(np.unique(facts[:, 0])),
        "frames": len(rows),
        "epochs": wish.epochs,
        "wide": wish.wide,
        "blocks": wish.blocks,
        "seed": wish.seed,
        "focus": wish.focus,
        "size": wish.size,
        "noise": asdict(noise),
        "going on from": facts_of_course(wish.start) if wish.start else None,
        "torch": torch.__version__,
    }

    def keep(net: Lift, mean: torch.Tensor, std: torch.Tensor, epoch: int) -> None:
        write(
            wish.out, net, mean, std, (tuned, goal, about), about_fit | {"epochs": f"{epoch} of {wish.epochs}"}, device
        )

    weights = 1.0 + wish.focus * _read(facts)
    fit(
        rows, wanted, wish.wide, wish.blocks, wish.drop, wish.epochs, wish.seed, device, wish.angles, weights, wish.size, wish.rate,
        wish.report, keep, noise, wish.start, wish.until,
    )  # fmt: skip


def facts_of_course(path: Path) -> dict[str, object]:
    """How the lift in a file was fitted, with the courses before."""
    with np.load(path) as kept:
        facts: dict[str, object] = json.loads(str(kept["facts"]))
    kept = ("clips", "frames", "epochs", "seed", "noise", "going on from")
    return {name: facts[name] for name in kept if facts.get(name)}


def _read(facts: np.ndarray) -> np.ndarray:
    """Which samples [N] show a swing at a time in which it is read."""
    return np.asarray((facts[:, 4] >= READ_S[0]) & (facts[:, 4] <= READ_S[1]))


def write(
    out: Path,
    net: Lift,
    mean: torch.Tensor,
    std: torch.Tensor,
    tune: tuple[np.ndarray, np.ndarray, np.ndarray],
    fitted: dict[str, object],
    device: str,
) -> None:
    """Write the parameters, with what the tuning clips teach about the errors, and tell how near they come there."""
    tuned, goal, about = tune
    guess, spread = run(net, mean, std, tuned, device)
    joints = 3 * len(JOINTS)
    off = ((guess - goal) / spread)[:, :joints]
    # Readings are of swings: what is learned here of errors, their size and their company, is of swings too.
    swings = about[:, 1] == 0
    loud = np.clip(off[swings], -4, 4)
    # Left and right hip err alike but for the sign, since places are counted from their middle: kept from being singular.
    shape = 0.97 * np.corrcoef(loud.T) + 0.03 * np.eye(joints)
    # How much of an error stays for the rest of the clip: the mean correlation of frames at least a quarter of a second apart.
    lasting = _lasting(loud, about[swings])
    stretch = np.sqrt((loud**2).mean(axis=0))
    kinds = {"swings": swings, "in the swing": _read(about), "recorded": about[:, 1] == 1}
    told = "; ".join(f"{name}: {_told(guess[of], spread[of], goal[of])}" for name, of in kinds.items() if of.any())
    others, about_others = _others(out)
    facts = json.dumps(fitted | {"on the tuning clips": told, "calibration": {}} | about_others)
    arrays = {
        "mean": mean.cpu().numpy(),
        "std": std.cpu().numpy(),
        "shape": shape.astype(np.float32),
        "lasting": np.float32(lasting),
    }
    layers = net.layers()
    for n, layer in enumerate(layers):
        weight, bias = layer.weight.detach().cpu().numpy().T.copy(), layer.bias.detach().cpu().numpy().copy()
        if n == len(layers) - 1:
            bias[OUTPUTS : OUTPUTS + joints] += np.log(stretch)
        arrays[f"w{n}"], arrays[f"b{n}"] = weight.astype(np.float16), bias.astype(np.float32)
    out.parent.mkdir(parents=True, exist_ok=True)
    part = out.with_suffix(".part.npz")
    np.savez_compressed(part, **arrays, **others, facts=np.array(facts))
    part.replace(out)
    size = out.stat().st_size / 1e6
    print(f"{out} {size:.2f} MB; lasting {lasting:.2f}; stretch {stretch.mean():.2f}; {told}", flush=True)


def _others(out: Path) -> tuple[dict[str, np.ndarray], dict[str, object]]:
    """The networks of instants and of swings that a file holds already, and its facts of them."""
    if not out.exists():
        return {}, {}
    with np.load(out) as kept:
        facts = json.loads(str(kept["facts"]))
        arrays = {name: kept[name] for name in kept.files if name.startswith(("time_", "deed_"))}
    return arrays, {name: facts[name] for name in ("instants", "deeds") if name in facts}


def _lasting(off: np.ndarray, about: np.ndarray) -> float:
    values = []
    for number in np.unique(about[:, 0]):
        own = off[about[:, 0] == number]
        if len(own) >= 45:
            values.append((own[:-20] * own[20:]).mean() / max((own**2).mean(), 1e-9))
    return float(np.clip(np.mean(values), 0.05, 0.98)) if values else 0.6


if __name__ == "__main__":
    main()
