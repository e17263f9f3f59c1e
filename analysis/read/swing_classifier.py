"""Whether a quick run of the hands is a swing: a small network looks at how the whole body moves about it.

What a hitter does otherwise (a take, a checked swing, a bunt, a waggle), what others do (a throw, a pitch, a walk), and a swing that
is looked at as if it were quicker or slower than it was, are none. So the same network tells how much slower than life a film
runs: at the true speed it sees a swing. How it was fitted and judged: `tests/lift/README.md`. NumPy only.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.arrays import Array, Floats32
from analysis.read.instant_network import GRID_S, INPUTS, JOINT_COUNT
from analysis.read.networks import arrays, parameters

# Of the inputs, the joints in space, how surely each was seen, and whether there is a film: nothing that hangs on the view.
COLUMNS: Final = np.array([*range(2 * JOINT_COUNT, 6 * JOINT_COUNT), INPUTS - 1])

EVERY: Final = 2  # steps of the grid: 30 inputs a real second
MIDDLE: Final = int(np.argmin(np.abs(GRID_S[::EVERY])))
DILATIONS: Final = (1, 2, 4, 8)  # of the convolutions after the first


def swing_odds(rows: Floats32) -> Array:
    """Logarithms of the odds [N] that inputs [N, G, INPUTS] of `analysis.read.instant_network` show a swing."""
    hidden = parameters("deed_").over_time(rows[:, ::EVERY, COLUMNS], DILATIONS)
    pooled = np.concatenate([hidden.mean(axis=1), hidden.max(axis=1), hidden[:, MIDDLE]], axis=1)
    # Weights [3 E] and bias [1] of what is pooled over time.
    weights, bias = (np.asarray(arrays()[f"deed_{name}"], dtype=np.float32) for name in ("last", "bias"))
    return np.asarray(pooled @ weights + float(bias[0]), dtype=np.float64)
