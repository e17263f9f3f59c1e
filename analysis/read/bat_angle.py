"""How steeply the bat stands, from where its two ends are seen in the picture."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from statistics import NormalDist

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.context import SwingContext
from analysis.read.geometry import Samples
from analysis.read.perturbations import steps
from analysis.read.perturbed_swing import Unreadable

__all__ = ["bat_reader"]


def bat_reader(context: SwingContext, up: Samples, times: Mapping[str, Samples]) -> Callable[[str], Samples] | None:
    """How much of the bat's length points up, per instant; None when the bat was never surely seen.

    up  [S, 3] against gravity on ray axes, drawn
    """
    bat, frame_times = context.bat, context.times
    seen = np.flatnonzero(np.isfinite(bat[:, 0]))
    if not seen.size:
        return None
    length = _bat_length(np.hypot(bat[seen, 0], bat[seen, 1]))

    def rise(instant: str) -> Samples:
        if np.abs(frame_times[seen] - times[instant][0]).min() > C.NEXT_FRAME * context.step:
            raise Unreadable("The bat was not seen at this instant; drag its two ends on the frame to read its angle.")
        way = [np.interp(times[instant], frame_times[seen], bat[seen, axis]) for axis in (0, 1)]
        off = C.BAT_END_SD * steps(f"bat at {instant}")[:, 0]
        return np.asarray((way[0] * up[:, 0] + way[1] * up[:, 1] + off) / length)

    return rise


def _bat_length(seen: Array) -> Samples:
    """The bat's length in standing heights, from how long it was seen in some frames, [N].

    No picture shows the bat longer than it is, and over a swing it lies in the picture's plane at least once. In a frame or
    two, put there by hand, it may point out of that plane, anywhere up to where it would have to be longer than bats are:
    every angle is as likely.
    """
    longest = float(np.clip(np.percentile(seen, C.BAT_PERCENTILE), *C.BAT_LENGTHS))
    own, out = steps("bat length").T
    out_of_plane: Samples | float = 0.0
    if seen.size < C.BAT_SEEN_FRAMES:
        out_of_plane = np.arccos(longest / C.BAT_LENGTHS[1]) * np.vectorize(NormalDist().cdf)(out)
    return np.asarray(longest / np.cos(out_of_plane) * (1.0 + C.BAT_LENGTH_SD * own))
