"""What the fitted networks share: the file of their parameters, ``lift.npz``, and how layers run. NumPy only.

How they were fitted and judged: `tests/lift/README.md`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

import numpy as np

from analysis.read.arrays import Floats32

FARTHEST: Final = 6.0  # deviations from their mean, that inputs over time are held to
_STEEPEST: Final = 30.0  # beyond it the activation is 0 or its input, to the last digit


@dataclass(frozen=True)
class Parameters:
    """Of one network: mean and std [D] of its inputs, and its layers, weights and bias [E], in order.

    Weights are [D, E], or by tap of a convolution in time [T, D, E].
    """

    mean: Floats32
    std: Floats32
    layers: tuple[tuple[Floats32, Floats32], ...]

    def standardised(self, rows: Floats32, most: float) -> Floats32:
        """Inputs [..., D] in deviations from their mean, none further than `most`."""
        return np.asarray(np.clip((rows - self.mean) / self.std, -most, most), dtype=np.float32)

    def over_time(self, rows: Floats32, dilations: Sequence[int]) -> Floats32:
        """Inputs [..., G, D] under the first convolution, and one on top of it for each dilation, [..., G, E]."""
        first, *blocks = self.layers
        hidden = silu(convolved(self.standardised(rows, FARTHEST), *first))
        for (weights, bias), dilation in zip(blocks, dilations, strict=False):
            hidden += silu(convolved(hidden, weights, bias, dilation))
        return hidden


@lru_cache(maxsize=1)
def arrays() -> dict[str, Any]:
    """The arrays of the file by their names."""
    with np.load(Path(__file__).with_name("lift.npz")) as kept:
        return {name: kept[name] for name in kept.files}


@lru_cache(maxsize=3)
def parameters(prefix: str = "") -> Parameters:
    """Of the network whose arrays begin with this: "" of the lift, "time_" of the instants, "deed_" of swings."""
    count = sum(name.startswith(f"{prefix}w") for name in arrays())
    layers = tuple((_floats(f"{prefix}w{n}"), _floats(f"{prefix}b{n}")) for n in range(count))
    return Parameters(_floats(f"{prefix}mean"), _floats(f"{prefix}std"), layers)


def _floats(name: str) -> Floats32:
    return np.asarray(arrays()[name], dtype=np.float32)


def silu(values: Floats32) -> Floats32:
    """The activation between layers, x / (1 + exp(-x)), of values [...]."""
    turned = np.negative(values)
    np.exp(np.clip(turned, -_STEEPEST, _STEEPEST, out=turned), out=turned)
    turned += 1.0
    return np.divide(values, turned, out=turned)


def convolved(rows: Floats32, weights: Floats32, bias: Floats32, dilation: int = 1) -> Floats32:
    """Rows [..., G, D] under a convolution in time, [..., G, E], zeros beyond the ends.

    weights  [T, D, E] by tap, T odd; bias [E]; taps lie `dilation` steps apart
    """
    taps, count = len(weights), rows.shape[-2]
    reach = (taps // 2) * dilation
    wide = np.zeros((*rows.shape[:-2], count + 2 * reach, rows.shape[-1]), np.float32)
    wide[..., reach : reach + count, :] = rows
    every = np.concatenate([wide[..., tap * dilation : tap * dilation + count, :] for tap in range(taps)], axis=-1)
    return np.asarray(every @ weights.reshape(-1, weights.shape[2]) + bias)
