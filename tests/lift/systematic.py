"""The systematic part of errors: how far off what is seen of a body is, on average, when it is held and moves so.

    python -m tests.lift.systematic --bank FOLDER... --out FILE

A joint that another limb hides, hands that blur, a trunk whose depth a pose network misjudges: much of how far off things are goes by
the motion itself, and what is left is random. Two small networks are fitted to the drawn clips of FOLDER... (torch), each to every
second clip, so that each tells the two parts of an error apart in clips that it has not seen. `tests.lift.unseen` gives a swing that
is never drawn the systematic errors of its own motion, and random ones of a drawn clip.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.read.lift import JOINTS
from analysis.read.networks import FARTHEST, silu

from .errors import Errors, Shown, shown_in

__all__ = ["Systematic", "motion_rows"]

AROUND_S = np.array([0.0, -0.12, -0.06, -0.03, 0.03, 0.06, 0.12])  # what is looked at, from the moment that is told of
WIDE, DROP, SIZE, EPOCHS, RATE = 256, 0.3, 512, 14, 2e-3
NEAR_S = (-0.8, 0.4)  # about contact: what is fitted to


def motion_rows(places: np.ndarray, picture: np.ndarray, times: np.ndarray, azimuth: float) -> np.ndarray:
    """What a network looks at [F, D]: where joints are, how they move about then, and from where they are seen.

    places   [F, J, 3] on ray axes, picture [F, J, 2], standing heights, of a right-handed hitter (`tests.lift.errors.Shown`)
    times    [F] s
    azimuth  of the camera, degrees
    """
    count = len(times)
    body = np.concatenate([places.reshape(count, -1), (picture - places[..., :2]).reshape(count, -1)], axis=1)
    at = np.clip(times[None] + AROUND_S[1:, None], times[0], times[-1])
    low = np.clip(np.searchsorted(times, at, side="right") - 1, 0, count - 2)
    share = ((at - times[low]) / (times[low + 1] - times[low]))[..., None]
    moved = body[low] * (1 - share) + body[low + 1] * share - body
    around = np.radians(azimuth)
    way = np.tile([np.cos(around), np.sin(around), np.cos(2 * around), np.sin(2 * around)], (count, 1))
    return np.concatenate([body, *moved, way], axis=1).astype(np.float32)


@dataclass(frozen=True)
class Systematic:
    """Two networks, each fitted to every second clip by number."""

    parts: tuple[dict[str, np.ndarray], dict[str, np.ndarray]]

    @classmethod
    def open(cls, path: Path) -> Systematic:
        """Those that a file holds."""
        with np.load(path) as kept:
            data = {name: kept[name] for name in kept.files}
        first, second = ({name[2:]: row for name, row in data.items() if name.startswith(f"{n}_")} for n in range(2))
        return cls((first, second))

    def of(self, rows: np.ndarray, which: int) -> tuple[np.ndarray, np.ndarray]:
        """Errors in the picture [F, J, 2] and in space [F, J, 3], standing heights, by one network, of `motion_rows` [F, D]."""
        part = self.parts[which]
        hidden = np.clip((rows - part["mean"]) / part["std"], -FARTHEST, FARTHEST)
        for layer in range(3):
            hidden = hidden @ part[f"w{layer}"].T + part[f"b{layer}"]
            hidden = silu(hidden) if layer < 2 else hidden * part["size"]
        flat, solid = np.split(hidden, [2 * len(JOINTS)], axis=1)
        return flat.reshape(len(rows), len(JOINTS), 2), solid.reshape(len(rows), len(JOINTS), 3)

    def random(self, shown: Shown) -> Errors:
        """The random part of a drawn clip's errors, by the network that was not fitted to it."""
        rows = motion_rows(shown.places, shown.picture, shown.times, shown.azimuth)
        return shown.errors(*self.of(rows, 1 - shown.number % 2))

    def random_in(self, path: Path) -> list[Errors]:
        """The same of all clips of a file."""
        return [self.random(shown) for shown in shown_in(path)]


def _fitted(rows: np.ndarray, off: np.ndarray, seed: int) -> dict[str, np.ndarray]:
    """A network's arrays after it was fitted to rows [N, D] and errors [N, E]."""
    import torch
    from torch import nn

    torch.manual_seed(seed)
    mean, std, size = rows.mean(0), rows.std(0) + 1e-3, off.std(0)
    looked, wanted = torch.tensor((rows - mean) / std).clamp(-FARTHEST, FARTHEST), torch.tensor(off / size)
    linear = [nn.Linear(*ends) for ends in ((rows.shape[1], WIDE), (WIDE, WIDE), (WIDE, off.shape[1]))]
    parts = [nn.Dropout(0.1), linear[0], nn.SiLU(), nn.Dropout(DROP), linear[1], nn.SiLU(), nn.Dropout(DROP), linear[2]]
    net = nn.Sequential(*parts)
    optimiser = torch.optim.AdamW(net.parameters(), RATE, weight_decay=0.1)
    steps = max(1, len(rows) // SIZE)
    plan = torch.optim.lr_scheduler.OneCycleLR(optimiser, RATE, total_steps=EPOCHS * steps + 1)
    for _ in range(EPOCHS):
        order = torch.randperm(len(rows))
        for step in range(steps):
            pick = order[step * SIZE : (step + 1) * SIZE]
            loss = nn.functional.smooth_l1_loss(net(looked[pick]), wanted[pick])
            optimiser.zero_grad()
            loss.backward()
            optimiser.step()
            plan.step()
    arrays = {"mean": mean, "std": std, "size": size}
    for layer, each in enumerate(linear):
        arrays |= {f"w{layer}": each.weight.detach().numpy(), f"b{layer}": each.bias.detach().numpy()}
    return arrays


def _told(shown: Shown) -> tuple[np.ndarray, np.ndarray]:
    """What is looked at [N, D] and how far off things are [N, E], near contact."""
    after = shown.times - shown.contact
    near = ~((after < NEAR_S[0]) | (after > NEAR_S[1]))
    rows = motion_rows(shown.places, shown.picture, shown.times, shown.azimuth)
    off = np.concatenate([each.reshape(len(rows), -1) for each in (shown.flat, shown.solid)], axis=1)
    return rows[near], off[near].astype(np.float32)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Fit the systematic part of what drawn clips are seen wrongly by.")
    parser.add_argument("--bank", type=Path, nargs="+", required=True, help="folders of drawn clips")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
        files = [file for folder in wish.bank for file in sorted(folder.glob("fit-*.npz"))]
        every = [each for own in pool.imap(shown_in, files, chunksize=4) for each in own]
    half = [[each for each in every if each.number % 2 == which] for which in range(2)]
    arrays: dict[str, np.ndarray] = {}
    for which, own in enumerate(half):
        rows, off = (np.concatenate(part) for part in zip(*map(_told, own), strict=True))
        arrays |= {f"{which}_{name}": row for name, row in _fitted(rows, off, which).items()}
    np.savez(wish.out, **arrays)
    made = Systematic.open(wish.out)
    for which, other in enumerate(reversed(half)):
        whole, left = (
            np.concatenate([np.concatenate([e.flat, e.solid], axis=2).reshape(-1) for e in errors])
            for errors in ([each.errors() for each in other], [made.random(each) for each in other])
        )
        share = 1 - float((left**2).mean() / (whole**2).mean())
        told = {"fitted to": len(half[which]), "told of": len(other), "share of the squared errors": round(share, 3)}
        print(json.dumps(told))


if __name__ == "__main__":
    main()
