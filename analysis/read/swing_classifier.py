"""Whether a quick run of the hands is a swing: a small network looks at how the whole body moves about it.

What a hitter does otherwise (a take, a checked swing, a bunt, a waggle), what others do (a throw, a pitch, a walk), and a swing that
is looked at as if it were quicker or slower than it was, are none. So the same network tells how much slower than life a film
runs: at the true speed it sees a swing. How it was fitted and judged: `tests/lift/README.md`. NumPy only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np

from analysis.read.arrays import Floats32
from analysis.read.instant_network import GRID_S, INPUTS, JOINT_COUNT, convolved
from analysis.read.lift import silu

__all__ = ["COLUMNS", "DILATIONS", "EVERY", "MIDDLE", "SwingClassifier", "swing_classifier"]

# Of the inputs, the joints in space, how surely each was seen, and whether there is a film: nothing that hangs on the view.
COLUMNS: Final = np.array([*range(2 * JOINT_COUNT, 6 * JOINT_COUNT), INPUTS - 1])

EVERY: Final = 2  # steps of the grid: 30 inputs a real second
MIDDLE: Final = int(np.argmin(np.abs(GRID_S[::EVERY])))
DILATIONS: Final = (1, 2, 4, 8)  # of the convolutions after the first


@dataclass(frozen=True)
class SwingClassifier:
    """The network's parameters: mean and std over `COLUMNS`, convolutions as (weights [T, D, E] by tap, bias [E]), and the weights
    [3 E] and bias of what is pooled over time: mean, largest, and at the middle."""

    mean: Floats32
    std: Floats32
    layers: tuple[tuple[Floats32, Floats32], ...]
    last: Floats32
    bias: float

    def odds(self, rows: Floats32) -> float:
        """Logarithm of the odds that inputs [G, INPUTS] of `analysis.read.instant_network` show a swing."""
        first, *blocks = self.layers
        hidden = silu(convolved(np.clip((rows[::EVERY, COLUMNS] - self.mean) / self.std, -6.0, 6.0), *first, 1))
        for (weights, bias), dilation in zip(blocks, DILATIONS, strict=True):
            hidden = hidden + silu(convolved(hidden, weights, bias, dilation))
        pooled = np.concatenate([hidden.mean(axis=0), hidden.max(axis=0), hidden[MIDDLE]])
        return float(pooled @ self.last + self.bias)


def of_arrays(data: Mapping[str, Floats32]) -> SwingClassifier:
    """The network of the arrays that a file holds."""
    count = sum(name.startswith("deed_w") for name in data)
    layers = tuple((data[f"deed_w{n}"].astype(np.float32), data[f"deed_b{n}"].astype(np.float32)) for n in range(count))
    mean, std = data["deed_mean"].astype(np.float32), data["deed_std"].astype(np.float32)
    return SwingClassifier(mean, std, layers, data["deed_last"].astype(np.float32), float(data["deed_bias"][0]))


@lru_cache(maxsize=1)
def swing_classifier() -> SwingClassifier:
    """The network committed with this package."""
    with np.load(Path(__file__).with_name("lift.npz")) as kept:
        return of_arrays({name: kept[name] for name in kept.files if name.startswith("deed_")})
