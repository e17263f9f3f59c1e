"""The line through what is seen of a bar near a line that is roughly right."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.watch.batlayout import MIDDLES

__all__ = ["through_bar"]

Floats = NDArray[np.float64]

PLACES: Final = MIDDLES.reshape(-1, 2)
FAR: Final = np.linalg.norm(PLACES, axis=1)
WITHIN: Final = (0.07, 0.05, 0.035)  # standing heights aside from the line: what counts, step by step
ALONG: Final = (0.15, 1.05)  # of the line from the knob on: hands hide the handle
ROOM: Final = 0.2  # how much stronger a bar may be than what is not background there
FAITH: Final = 2.0  # in the line given, as much as so many strong places
LEAST: Final = 1e-3


def through_bar(look: NDArray[np.uint8], ends: Floats) -> tuple[Floats, float]:
    """Both ends [2, 2] moved onto the bar that `look` shows near them, and how much of a bar there is.

    ends  knob and barrel from the hands, standing heights; they move across the line, never along it
    """
    rows = look.reshape(len(look), -1)[:4].astype(np.float64) / 255.0
    strength = np.minimum(np.maximum(rows[0], rows[1]), rows[2] + ROOM) ** 2 * (1.0 - rows[3]) * FAR
    knob, barrel = ends
    total = 0.0
    for within in WITHIN:
        direction = barrel - knob
        length = float(np.hypot(*direction))
        if length < LEAST:
            break
        direction = direction / length
        across = np.array([-direction[1], direction[0]])
        off = PLACES - knob
        along, aside = off @ direction, off @ across
        inside = (along > ALONG[0] * length) & (along < ALONG[1] * length)
        weight = strength * np.clip(1 - np.abs(aside) / within, 0, None) * inside
        total = float(weight.sum())
        if total < LEAST:
            break
        every = total + FAITH
        middle = (float(weight @ along) + FAITH * length / 2) / every
        beside = float(weight @ aside) / every
        spread = float(weight @ (along - middle) ** 2) + FAITH * length**2 / 12
        slope = float(weight @ ((along - middle) * (aside - beside))) / spread
        start = beside - slope * middle
        knob, barrel = knob + start * across, barrel + (start + slope * length) * across
    return np.stack([knob, barrel]), total
