"""Smooth curves through a few keys, for every wish that changes during a film."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.ndimage import gaussian_filter1d

__all__ = ["Curve", "Keys"]

RATE = 1000.0  # samples per second of the table behind a curve
SOFTNESS_S = 0.007  # rounds the corners of the speed at the keys; muscles have none

Keys = dict[float, object]


class Curve:
    """A number or a vector over time: shape-preserving between keys (no overshoot), constant outside them."""

    def __init__(self, keys: Iterable[tuple[float, object]], softness_s: float = SOFTNESS_S) -> None:
        ordered = sorted(keys, key=lambda key: key[0])
        times = np.array([time for time, _ in ordered], dtype=float)
        values = np.array([np.asarray(value, dtype=float) for _, value in ordered])
        if np.any(np.diff(times) <= 0):
            raise ValueError(f"two keys stand at the same time: {times.tolist()}")
        self._start = times[0] - 0.2
        at = np.arange(self._start, times[-1] + 0.2, 1 / RATE)
        table = PchipInterpolator(times, values, axis=0)(np.clip(at, times[0], times[-1]))
        self._table = gaussian_filter1d(table, softness_s * RATE, axis=0, mode="nearest")

    def __call__(self, time: float) -> np.ndarray:
        """Value at ``time`` in seconds, of the keys' shape."""
        place = float(np.clip((time - self._start) * RATE, 0, len(self._table) - 1.001))
        k = int(place)
        return self._table[k] * (k + 1 - place) + self._table[k + 1] * (place - k)

    def over(self, times: np.ndarray) -> np.ndarray:
        """Values at times [F] in seconds: [F], or [F, N] where the keys are vectors."""
        place = np.clip((times - self._start) * RATE, 0, len(self._table) - 1.001)
        k = place.astype(int)
        share = (place - k).reshape(-1, *[1] * (self._table.ndim - 1))
        return np.asarray(self._table[k] * (1 - share) + self._table[k + 1] * share)
