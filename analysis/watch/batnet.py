"""The network that tells where the bat points in one frame, and where its two ends are.

It looks at what `analysis.watch.batlayout` lays out around the hands: convolutions over direction and distance, directions closing
to a ring. Its parameters lie in ``bat.npz`` beside this module and were fitted by ``python -m tests.lift.bat_fit``.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from analysis.watch.batlayout import DIRECTIONS

__all__ = ["FILE", "NOT_THERE", "PLACES", "BatNet", "bat_net"]

FILE: Final = Path(__file__).with_name("bat.npz")
NOT_THERE: Final = DIRECTIONS  # the place of "no bat to be seen" among the scores
PLACES: Final = 5  # of each direction: barrel out and aside, knob out and aside, standing heights; log of their spread
AT_ONCE = 16  # frames: what lies in the processor's cache

Rows = NDArray[np.float32]


@dataclass(frozen=True)
class BatNet:
    """The network's parameters by name, those of the certainty (see `batcertain`), and where they come from."""

    weights: dict[str, Rows]
    certain: dict[str, Rows]
    facts: dict[str, Any]

    def __call__(self, looks: NDArray[np.uint8]) -> tuple[Rows, Rows]:
        """Scores [F, DIRECTIONS + 1] (log chances, not scaled) and ends [F, DIRECTIONS, PLACES] for looks [F, C, DIRECTIONS, RINGS].

        Ends count from the hands' middle along each direction, and aside from it (clockwise).
        """
        parts = [self._some(looks[start : start + AT_ONCE]) for start in range(0, len(looks), AT_ONCE)]
        if not parts:
            return np.zeros((0, DIRECTIONS + 1), np.float32), np.zeros((0, DIRECTIONS, PLACES), np.float32)
        scores, ends = zip(*parts, strict=True)
        return np.concatenate(scores), np.concatenate(ends)

    def _some(self, looks: NDArray[np.uint8]) -> tuple[Rows, Rows]:
        w = self.weights
        x = np.ascontiguousarray(looks.transpose(0, 2, 3, 1), dtype=np.float32) / np.float32(255.0)
        for name, stride in (("a", 1), ("b", 2), ("c", 2)):
            x = _over_both(x, w[f"{name}.weight"], w[f"{name}.bias"], stride)
        x = x.reshape(*x.shape[:2], -1)
        x = _over_directions(x, w["d.weight"], w["d.bias"], 1)
        x = x + _over_directions(x, w["e.weight"], w["e.bias"], 4)
        whole = np.concatenate([x.mean(axis=1), x.max(axis=1)], axis=1)
        x = np.maximum(x + (whole @ w["f.weight"].T + w["f.bias"])[:, None], 0.0)
        out = x @ w["g.weight"].T + w["g.bias"]
        none = whole @ w["h.weight"].T + w["h.bias"]
        return np.asarray(np.concatenate([out[..., 0], none], axis=1)), np.asarray(out[..., 1:])


def _over_both(x: Rows, weight: Rows, bias: Rows, stride: int) -> Rows:
    """A 3 x 3 convolution [F, A, R, C], a ring over directions, zeros beyond the distances, and a rectifier."""
    x = np.concatenate([x[:, -1:], x, x[:, :1]], axis=1)
    x = np.pad(x, ((0, 0), (0, 0), (1, 1), (0, 0)))
    windows = np.lib.stride_tricks.sliding_window_view(x, (3, 3), axis=(1, 2))[:, :, ::stride]
    shape = windows.shape[:3]
    told = np.maximum(windows.reshape(-1, weight[0].size) @ weight.reshape(len(weight), -1).T + bias, 0.0)
    return np.asarray(told.reshape(*shape, -1))


def _over_directions(x: Rows, weight: Rows, bias: Rows, apart: int) -> Rows:
    """A convolution of five directions, `apart` from each other, on a ring [F, A, C], and a rectifier."""
    around = np.concatenate([np.roll(x, -step * apart, axis=1) for step in range(-2, 3)], axis=2)
    return np.asarray(np.maximum(around @ weight.transpose(0, 2, 1).reshape(len(weight), -1).T + bias, 0.0))


@lru_cache(maxsize=1)
def bat_net() -> BatNet:
    """The network as it was fitted; read once."""
    with np.load(FILE, allow_pickle=False) as held:
        every = {name: held[name].astype(np.float32) for name in held.files if name != "facts"}
        facts = json.loads(str(held["facts"]))
    certain = {name.removeprefix("certain."): every.pop(name) for name in list(every) if name.startswith("certain.")}
    return BatNet(every, certain, facts)
