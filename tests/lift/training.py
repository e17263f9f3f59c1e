"""What the two networks over time, of instants and of swings, share when they are fitted. Needs torch."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import nn

from analysis.read.networks import FARTHEST

__all__ = ["Course", "Fitted", "InTime", "arrays_of", "facts_of", "opened", "put_into", "spans_of", "train"]

SIZE = 256  # looks in a step


class InTime(nn.Module):
    """Convolutions over time, as `analysis.read.networks.convolved` runs them: the first, and one on top of it for each dilation."""

    def __init__(self, inputs: int, wide: int, dilations: Iterable[int], drop: float) -> None:
        super().__init__()
        self.first = nn.Conv1d(inputs, wide, 3, padding=1)
        self.blocks = nn.ModuleList([nn.Conv1d(wide, wide, 5, padding=2 * d, dilation=d) for d in dilations])
        self.drop = nn.Dropout(drop)

    def hidden(self, rows: torch.Tensor) -> torch.Tensor:
        """[N, wide, G] of inputs [N, D, G]."""
        hidden = nn.functional.silu(self.first(rows))
        for block in self.blocks:
            hidden = hidden + nn.functional.silu(block(self.drop(hidden)))
        return hidden


@dataclass(frozen=True)
class Fitted:
    """A network with the mean and deviation [1, D, 1] of its inputs."""

    net: InTime
    mean: torch.Tensor
    std: torch.Tensor

    def scores(self, rows: torch.Tensor) -> torch.Tensor:
        """What the network answers to inputs [N, D, G]."""
        return self.net(((rows - self.mean) / self.std).clamp(-FARTHEST, FARTHEST))


@dataclass(frozen=True)
class Course:
    """How a network is fitted: ``lasting`` of its averaged parameters from step to step."""

    epochs: int
    rate: float = 2e-3
    lasting: float = 0.998


def spans_of(rows: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """Mean and deviation [1, D, 1] of inputs [N, D, G], by every fifth of them."""
    some = rows[::5].float()
    return some.mean((0, 2), keepdim=True), some.std((0, 2), keepdim=True).clamp_min(1e-2)


def train(
    fitted: Fitted, rows: torch.Tensor, loss_of: Callable[[torch.Tensor, torch.Tensor], torch.Tensor], course: Course
) -> Fitted:
    """The network after a course: its parameters averaged over the last steps.

    ``loss_of`` takes some of the inputs [N, D, G] and which ones they are.
    """
    net, device = fitted.net, rows.device
    average = torch.optim.swa_utils.get_ema_multi_avg_fn(course.lasting)
    smooth = torch.optim.swa_utils.AveragedModel(net, multi_avg_fn=average)
    steps = max(1, len(rows) // SIZE)
    optimiser = torch.optim.AdamW(net.parameters(), lr=course.rate, weight_decay=0.1)
    plan = torch.optim.lr_scheduler.OneCycleLR(optimiser, course.rate, total_steps=course.epochs * steps, pct_start=0.1)
    began = time.time()
    net.train()
    for epoch in range(course.epochs):
        total = torch.zeros((), device=device)
        order = torch.randperm(len(rows), device=device)
        for step in range(steps):
            pick = order[step * SIZE : (step + 1) * SIZE]
            loss = loss_of(rows[pick].float(), pick)
            optimiser.zero_grad(set_to_none=True)
            loss.backward()
            nn.utils.clip_grad_norm_(net.parameters(), 1.0)
            optimiser.step()
            plan.step()
            smooth.update_parameters(net)
            total += loss.detach()
        print(f"epoch {epoch + 1} loss {float(total) / steps:.4f} {time.time() - began:.0f} s", flush=True)
    return Fitted(smooth.module, fitted.mean, fitted.std)


def arrays_of(fitted: Fitted, prefix: str, layers: Iterable[nn.Conv1d]) -> dict[str, np.ndarray]:
    """Parameters as `analysis.read` wants them, their names beginning with ``prefix``; weights as halves, by tap."""
    arrays = {f"{prefix}mean": fitted.mean.flatten().cpu().numpy(), f"{prefix}std": fitted.std.flatten().cpu().numpy()}
    for n, layer in enumerate(layers):
        arrays[f"{prefix}w{n}"] = layer.weight.detach().permute(2, 1, 0).cpu().numpy().astype(np.float16)
        arrays[f"{prefix}b{n}"] = layer.bias.detach().cpu().numpy()  # type: ignore[union-attr]
    return arrays


def opened(path: Path, prefix: str, net: InTime, ends: Iterable[nn.Conv1d], device: str) -> Fitted:
    """The network of a file of parameters, as `arrays_of` gave them, put into ``net``; ``ends`` are its layers after the blocks."""
    with np.load(path) as kept:
        data = {name: torch.tensor(kept[name]).float() for name in kept.files if name.startswith(prefix)}
    for n, layer in enumerate([net.first, *net.blocks, *ends]):
        layer.weight.data = data[f"{prefix}w{n}"].permute(2, 1, 0).contiguous()
        layer.bias.data = data[f"{prefix}b{n}"]  # type: ignore[union-attr]
    mean, std = (data[f"{prefix}{name}"][None, :, None].to(device) for name in ("mean", "std"))
    return Fitted(net.to(device), mean, std)


def facts_of(path: Path, name: str) -> dict[str, object]:
    """What a file of parameters says of one of its networks."""
    with np.load(path) as kept:
        facts: dict[str, object] = json.loads(str(kept["facts"]))[name]
    return {key: fact for key, fact in facts.items() if key not in ("on the tuning clips", "factors", "offsets")}


def put_into(path: Path, prefix: str, arrays: dict[str, np.ndarray], facts: dict[str, object]) -> None:
    """Put a network's arrays and facts in the place of those that the file of parameters held of it; a new file holds only these."""
    data: dict[str, np.ndarray] = {"facts": np.array("{}")}
    if path.exists():
        with np.load(path) as kept:
            data = {name: kept[name] for name in kept.files if not name.startswith(prefix)}
    facts = json.loads(str(data["facts"])) | facts
    np.savez_compressed(path, **(data | arrays | {"facts": np.array(json.dumps(facts))}))
