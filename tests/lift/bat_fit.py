"""Fit the bat's network and its certainty, and write `analysis/watch/bat.npz`.

    python -m tests.lift.bat_fit looks --data FOLDER --processes N     lays out what `tests.lift.bats` drew, once
    python -m tests.lift.bat_fit fit --data FOLDER --out FILE          fits the network to fit-*, stops by tune-*
    python -m tests.lift.bat_fit certain --data FOLDER --out FILE      fits the certainty to tune-*, each half scaling the other
    python -m tests.lift.bat_fit judge --data FOLDER                   says how judge-* come out

``fit`` and ``certain`` need torch; a graphics card helps.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import time
from pathlib import Path
from typing import Any

import numpy as np

from analysis.watch.batcertain import FACTS, chance_of
from analysis.watch.batlayout import CHANNELS, DIRECTIONS, REACH, RINGS
from analysis.watch.batnet import PLACES

from .bat_looks import looks_of, watched, watcher_of
from .bats import load

WIDE = (16, 24, 32, 48)
COPIES = 2  # of each frame to fit to, the hands moved at random
SHORTEST = 0.08  # standing heights from hands to barrel in the picture: below it a direction means nothing
RIGHT = (5.0, 0.08, 0.15)  # degrees; standing heights of knob and barrel: what counts as the bat


def right(bat: np.ndarray, truth: np.ndarray, height: float) -> np.ndarray:
    """Whether lines [F, 2, 2] are the bat, within RIGHT; False where either is NaN."""
    ways = [ends[:, 1] - ends[:, 0] for ends in (bat, truth)]
    off = np.angle(np.exp(1j * (np.arctan2(*ways[0].T[::-1]) - np.arctan2(*ways[1].T[::-1]))))
    knob, barrel = (np.linalg.norm(bat - truth, axis=2) / height).T
    with np.errstate(invalid="ignore"):
        return np.asarray((np.degrees(np.abs(off)) <= RIGHT[0]) & (knob <= RIGHT[1]) & (barrel <= RIGHT[2]))


def _look_file(job: tuple[Path, Path, int]) -> None:
    path, out, copies = job
    if out.exists():
        return
    rows = []
    for copy in range(copies):
        rng = np.random.default_rng([7, copy, int(path.stem.split("-")[-1])]) if copies > 1 else None
        rows += list(looks_of(path, rng))
    part = out.with_suffix(".part.npz")
    np.savez(
        part, look=np.array([row.look for row in rows]), bat=np.array([row.bat for row in rows], np.float32),
        number=np.array([row.number for row in rows]),
    )  # fmt: skip
    part.replace(out)


def make_looks(wish: argparse.Namespace) -> None:
    """Lay out every clip once; `watched` of tune and judge clips does it again with the network there."""
    jobs = []
    for path in sorted(wish.data.glob("bat-*.npz")):
        use = path.stem.split("-")[1]
        if use in ("fit", "tune"):
            jobs.append((path, path.with_name(path.name.replace("bat-", "look-")), COPIES if use == "fit" else 1))
    with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
        pool.map(_look_file, jobs, chunksize=1)


def _gather(folder: Path, use: str) -> tuple[Any, ...]:
    parts = []
    for path in sorted(folder.glob(f"look-{use}-*.npz")):
        with np.load(path) as kept:
            if len(kept["look"]):
                parts.append((kept["look"], kept["bat"]))
    looks, bats = (np.concatenate(part) for part in zip(*parts, strict=True))
    return looks, bats


def network(wide: tuple[int, ...] = WIDE) -> Any:
    """The network of `analysis.watch.batnet`, to be fitted."""
    import torch
    from torch import nn
    from torch.nn import functional as f

    class Net(nn.Module):
        def __init__(self) -> None:
            super().__init__()
            a, b, c, d = wide
            self.a, self.b, self.c = nn.Conv2d(CHANNELS, a, 3), nn.Conv2d(a, b, 3, (1, 2)), nn.Conv2d(b, c, 3, (1, 2))
            self.d, self.e = nn.Conv1d(c * RINGS // 4, d, 5), nn.Conv1d(d, d, 5, dilation=4)
            self.f, self.g, self.h = nn.Linear(2 * d, d), nn.Linear(d, 1 + PLACES), nn.Linear(2 * d, 1)
            with torch.no_grad():
                self.g.weight[1:] *= 0.1
                self.g.bias[1:] = torch.tensor([0.4, 0.0, -0.05, 0.0, -2.5])

        def forward(self, x: Any) -> tuple[Any, Any]:
            for layer in (self.a, self.b, self.c):
                x = f.relu(layer(f.pad(f.pad(x, (0, 0, 1, 1), mode="circular"), (1, 1, 0, 0))))
            x = x.permute(0, 3, 1, 2).flatten(1, 2)  # distances, then features
            x = f.relu(self.d(f.pad(x, (2, 2), mode="circular")))
            x = x + f.relu(self.e(f.pad(x, (8, 8), mode="circular")))
            whole = torch.cat([x.mean(2), x.amax(2)], 1)
            x = f.relu(x + self.f(whole)[:, :, None]).transpose(1, 2)
            out = self.g(x)
            return torch.cat([out[..., 0], self.h(whole)], 1), out[..., 1:]

    return Net()


def _turned(looks: Any, bats: Any, rng: Any) -> tuple[Any, Any]:
    """The same pictures turned and mirrored at random: half of them anyhow, the others a little."""
    import torch

    count = len(looks)
    steps = torch.where(
        torch.rand(count, device=looks.device, generator=rng) < 0.5,
        torch.randint(0, DIRECTIONS, (count,), device=looks.device, generator=rng),
        torch.randint(-8, 9, (count,), device=looks.device, generator=rng),
    )
    mirror = torch.rand(count, device=looks.device, generator=rng) < 0.5
    places = torch.arange(DIRECTIONS, device=looks.device)[None]
    source = torch.where(mirror[:, None], DIRECTIONS - 1 - places, places)
    source = (source - torch.where(mirror, -steps, steps)[:, None]) % DIRECTIONS
    looks = torch.gather(looks, 2, source[:, None, :, None].expand(-1, looks.shape[1], -1, looks.shape[3]))
    angle = steps * (2 * np.pi / DIRECTIONS)
    flip = torch.where(mirror, -1.0, 1.0)
    x, y = bats[..., 0], bats[..., 1] * flip[:, None]
    cos, sin = torch.cos(angle)[:, None], torch.sin(angle)[:, None]
    return looks, torch.stack([x * cos - y * sin, x * sin + y * cos], -1)


def _loss(net: Any, looks: Any, bats: Any) -> tuple[Any, Any, Any]:
    import torch

    scores, places = net(looks)
    reach = bats[:, 1].norm(dim=1)
    there = torch.isfinite(reach) & (reach > SHORTEST) & (reach < REACH - 0.02)
    bats = torch.nan_to_num(bats)
    centre = (torch.arange(DIRECTIONS, device=looks.device) + 0.5) * (2 * np.pi / DIRECTIONS)
    angle = torch.atan2(bats[:, 1, 1], bats[:, 1, 0])
    apart = (angle[:, None] - centre[None] + np.pi) % (2 * np.pi) - np.pi
    bell = torch.exp(-0.5 * (apart / np.radians(3.0)) ** 2)
    bell = bell / bell.sum(1, keepdim=True)
    wanted = torch.cat([bell * there[:, None], (~there).float()[:, None]], 1)
    cross = -(wanted * torch.log_softmax(scores, 1)).sum(1)
    near = (torch.abs(apart) < np.radians(10.0)) & there[:, None]
    row, column = torch.nonzero(near, as_tuple=True)
    out = torch.stack([torch.cos(centre[column]), torch.sin(centre[column])], 1)
    aside = torch.stack([-out[:, 1], out[:, 0]], 1)
    ends = bats[row]
    truth = torch.stack(
        [
            (ends[:, 1] * out).sum(1),
            (ends[:, 1] * aside).sum(1),
            (ends[:, 0] * out).sum(1),
            (ends[:, 0] * aside).sum(1),
        ],
        1,
    )
    told = places[row, column]
    miss = torch.sqrt((told[:, :4] - truth) ** 2 + 1e-6)
    spread = torch.clamp(told[:, 4], -5.0, 1.0)
    off = miss.mean(1)
    laplace = off.detach() * torch.exp(-spread) + spread
    return cross.mean(), off.mean(), laplace.mean()


def fit(wish: argparse.Namespace) -> None:
    """Fit the network."""
    import torch

    torch.manual_seed(wish.seed)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    began = time.time()
    looks, bats = _gather(wish.data, "fit")
    keep = slice(None) if wish.share >= 1 else slice(0, int(len(looks) * wish.share))
    looks, bats = torch.tensor(looks[keep], device=device), torch.tensor(bats[keep], device=device)
    tuned, tuned_bats = (torch.tensor(part, device=device) for part in _gather(wish.data, "tune"))
    print(f"{len(looks)} looks, {len(tuned)} to tune by, {time.time() - began:.0f} s", flush=True)
    net = network(tuple(wish.wide)).to(device)
    steps = wish.epochs * (len(looks) // wish.batch)
    how = torch.optim.AdamW(net.parameters(), lr=wish.rate, weight_decay=wish.decay)
    slowdown = torch.optim.lr_scheduler.OneCycleLR(how, wish.rate, max(steps, 1), pct_start=0.1)
    rng = torch.Generator(device=device).manual_seed(wish.seed)
    best, kept = np.inf, {}
    for epoch in range(wish.epochs):
        net.train()
        order = torch.randperm(len(looks), device=device, generator=rng)
        for start in range(0, len(order) - wish.batch + 1, wish.batch):
            rows = order[start : start + wish.batch]
            part, ends = _turned(looks[rows].float() / 255, bats[rows], rng)
            shape = (len(part), CHANNELS, 1, 1)
            part = part * torch.exp(0.25 * torch.randn(shape, device=device, generator=rng))
            part = part * (torch.rand(shape, device=device, generator=rng) > 0.04)
            part = (part + 0.03 * torch.randn(part.shape, device=device, generator=rng)).clamp(0, 1)
            cross, off, laplace = _loss(net, part, ends)
            how.zero_grad()
            (cross + 8.0 * off + 0.1 * laplace).backward()
            torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
            how.step()
            slowdown.step()
        net.eval()
        with torch.no_grad():
            parts = [
                _loss(net, tuned[k : k + 2048].float() / 255, tuned_bats[k : k + 2048])
                for k in range(0, len(tuned), 2048)
            ]
        mean = [float(sum(float(p[n]) for p in parts) / len(parts)) for n in range(3)]
        if mean[0] + 8 * mean[1] < best:
            best, kept = (
                mean[0] + 8 * mean[1],
                {n: v.detach().cpu().numpy().copy() for n, v in net.state_dict().items()},
            )
            facts = {
                "clips": len(list(wish.data.glob("look-fit-*.npz"))),
                "looks": len(looks),
                "epoch": epoch,
                "seed": wish.seed,
            }
            facts |= {"tune_cross": round(mean[0], 3), "tune_off": round(mean[1], 4), "torch": torch.__version__}
        if epoch % 5 == 0 or epoch == wish.epochs - 1:
            told = f"fit {float(cross.detach()):.3f} {float(off.detach()):.4f} tune {mean[0]:.3f} {mean[1]:.4f}"
            print(f"{epoch} {told} {time.time() - began:.0f} s", flush=True)
    blank = {
        "mean": np.zeros(len(FACTS)), "spread": np.ones(len(FACTS)), "first": np.zeros((1, len(FACTS))), "first_bias": np.zeros(1),
        "last": np.zeros(1), "last_bias": np.zeros(()), "raw": np.array([0.0, 1.0]), "true": np.array([0.0, 1.0]),
    }  # fmt: skip
    _write(wish.out, kept, blank, facts)


def _write(path: Path, weights: dict[str, np.ndarray], certain: dict[str, np.ndarray], facts: dict[str, Any]) -> None:
    # [out, in, directions, distances] as torch keeps it; what runs wants features last.
    kept = {name: value.astype(np.float16) for name, value in weights.items()}
    kept |= {f"certain.{name}": np.asarray(value, np.float32) for name, value in certain.items()}
    np.savez_compressed(path, **kept, facts=np.array(json.dumps(facts)))


def _facts_of(path: Path) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    seen = load(path)
    watcher, height = watcher_of(seen)
    watcher.finish()
    facts, good, frames = [], [], []
    for stretch in watcher.follow():
        hands = np.array([watcher.patches[index].hands for index in stretch.frames])
        bat = hands[:, None] + height * stretch.ends
        facts.append(stretch.facts)
        good.append(right(bat, seen.bat[stretch.frames], seen.height))
        frames.append(stretch.frames)
    if not facts:
        return np.zeros((0, len(FACTS))), np.zeros(0, bool), np.zeros(0)
    return np.concatenate(facts), np.concatenate(good), np.full(sum(map(len, frames)), seen.number)


def _layers(facts: np.ndarray, good: np.ndarray) -> dict[str, np.ndarray]:
    """The certainty's two layers, fitted; not yet brought to scale."""
    import torch

    mean, spread = facts.mean(axis=0), facts.std(axis=0) + 1e-6
    torch.manual_seed(1)
    x, y = torch.tensor((facts - mean) / spread).float(), torch.tensor(good).float()
    net = torch.nn.Sequential(torch.nn.Linear(len(FACTS), 8), torch.nn.Tanh(), torch.nn.Linear(8, 1))
    how = torch.optim.AdamW(net.parameters(), lr=0.01, weight_decay=1.0)
    for _ in range(700):
        how.zero_grad()
        torch.nn.functional.binary_cross_entropy_with_logits(net(x)[:, 0], y).backward()
        how.step()
    first, last = net[0], net[2]
    return {
        "mean": mean, "spread": spread, "first": first.weight.detach().numpy(), "first_bias": first.bias.detach().numpy(),
        "last": last.weight.detach().numpy()[0], "last_bias": last.bias.detach().numpy()[0],
        "raw": np.array([0.0, 1.0]), "true": np.array([0.0, 1.0]),
    }  # fmt: skip


def _certain_of(facts: np.ndarray, good: np.ndarray, number: np.ndarray) -> dict[str, np.ndarray]:
    """The certainty fitted to all clips, its scale told by each half of the clips for what was fitted to the other half."""
    raw = np.zeros(len(good))
    for half in (0, 1):
        own = number % 2 == half
        raw[own] = chance_of(facts[own], _layers(facts[~own], good[~own]))
    held = _layers(facts, good)
    held["raw"], held["true"] = _table(raw, good)
    return held


def certain(wish: argparse.Namespace) -> None:
    """Fit the certainty."""
    with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
        parts = pool.map(_facts_of, sorted(wish.data.glob("bat-tune-*.npz")), chunksize=1)
    facts, good, number = (np.concatenate(part) for part in zip(*parts, strict=True))
    held = _certain_of(facts, good, number)
    with np.load(wish.out) as kept:
        weights = {name: kept[name] for name in kept.files if name != "facts" and not name.startswith("certain.")}
        told = json.loads(str(kept["facts"]))
    told |= {"certain_frames": len(facts)}
    _write(wish.out, weights, held, told)
    print(json.dumps(told))


def _table(raw: np.ndarray, good: np.ndarray, most: int = 24) -> tuple[np.ndarray, np.ndarray]:
    """From raw chances to those found true: rising steps (pool adjacent violators), joined by straight lines."""
    order = np.argsort(raw)
    parts = zip(np.array_split(raw[order], most), np.array_split(good[order], most), strict=True)
    blocks = [[float(part.mean()), float(hit.mean()), float(len(part))] for part, hit in parts]
    k = 0
    while k < len(blocks) - 1:
        if blocks[k][1] > blocks[k + 1][1]:
            (a, b, n), (c, d, m) = blocks[k], blocks.pop(k + 1)
            blocks[k] = [(a * n + c * m) / (n + m), (b * n + d * m) / (n + m), n + m]
            k = max(k - 1, 0)
        else:
            k += 1
    return np.array([block[0] for block in blocks]), np.array([block[1] for block in blocks])


def _judge_file(path: Path) -> dict[str, Any]:
    seen, bat, chance, height = watched(path)
    return {
        "number": seen.number, "kind": seen.kind, "azimuth": seen.azimuth, "height": seen.height, "times": seen.times,
        "bat": bat, "truth": seen.bat, "good": right(bat.astype(np.float64), seen.bat, height), "chance": chance, "blur": seen.blur,
    }  # fmt: skip


def judge(wish: argparse.Namespace) -> None:
    """Print how the judging clips come out."""
    with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
        every = pool.map(_judge_file, sorted(wish.data.glob(f"bat-{wish.use}-*.npz")), chunksize=1)
    if wish.out:
        np.savez_compressed(
            wish.out, **{f"{clip['number']}/{name}": value for clip in every for name, value in clip.items()}
        )
    tell(every, wish.levels)


def tell(every: list[dict[str, Any]], levels: list[float]) -> None:
    """Print shares of lines given and right, by level of certainty, and calibration."""
    with_bat = [clip for clip in every if clip["kind"] == "swing"]
    without = [clip for clip in every if clip["kind"] != "swing"]
    chance = np.concatenate([clip["chance"] for clip in with_bat])
    good = np.concatenate([clip["good"] for clip in with_bat])
    given = np.concatenate([np.isfinite(clip["bat"]).all(axis=(1, 2)) for clip in with_bat])
    none = np.concatenate(
        [clip["chance"] * np.isfinite(clip["bat"]).all(axis=(1, 2)) for clip in without] or [np.zeros(0)]
    )
    print(f"{len(with_bat)} clips with a bat ({len(good)} frames), {len(without)} without ({len(none)} frames)")
    for level in levels:
        shown = given & (chance >= level)
        print(
            f"level {level:.2f}: a line in {100 * shown.mean():.0f} % of frames, right {100 * good[shown].mean():.1f} %, "
            f"right lines in {100 * (good & shown).mean():.0f} % of frames; without a bat a line in {100 * (none >= level).mean():.1f} %"
        )
    for low in np.arange(0, 1, 0.1):
        inside = given & (chance >= low) & (chance < low + 0.1 + 1e-9)
        if inside.sum() > 20:
            print(f"  said {chance[inside].mean():.2f}  found {good[inside].mean():.2f}  ({inside.sum()})")


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Fit the bat's network and its certainty.")
    parser.add_argument("what", choices=["looks", "fit", "certain", "judge"])
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--use", default="judge")
    parser.add_argument("--levels", type=float, nargs="+", default=[0.0, 0.5, 0.7, 0.8, 0.9])
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--epochs", type=int, default=60)
    parser.add_argument("--batch", type=int, default=256)
    parser.add_argument("--wide", type=int, nargs=4, default=WIDE)
    parser.add_argument("--rate", type=float, default=3e-3)
    parser.add_argument("--decay", type=float, default=0.02)
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    wish = parser.parse_args()
    {"looks": make_looks, "fit": fit, "certain": certain, "judge": judge}[wish.what](wish)


if __name__ == "__main__":
    main()
