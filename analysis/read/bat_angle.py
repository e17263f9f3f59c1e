"""How steeply the bat stands, from where its two ends are seen in the picture."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.context import SwingContext
from analysis.read.geometry import Samples
from analysis.read.perturbations import deviation, steps
from analysis.read.perturbed_swing import Unreadable


def bat_reader(
    context: SwingContext, up: Samples, times: Mapping[str, Samples], hands: Mapping[str, Samples]
) -> Callable[[str], Samples] | None:
    """How steeply the bat stands, degrees [S], per instant; None when it was never surely seen.

    up     [S, 3] against gravity on ray axes, drawn
    times  film time of the instants, s, [S] each
    hands  how much farther away than the hips they are at each instant, [S] standing heights
    """
    seen = np.flatnonzero(np.isfinite(context.bat[:, 0]))
    if not seen.size:
        return None
    when = context.times[seen]
    bat = _calm(context.bat[seen], when, C.BAT_CALM_S * context.slowdown)
    length = bat_length(np.hypot(bat[:, 0], bat[:, 1]))

    def told(instant: str) -> Samples:
        if np.abs(when - times[instant][0]).min() > C.NEXT_FRAME * context.step:
            raise Unreadable("The bat was not seen at this instant; drag its two ends on the frame to read its angle.")
        x, y = (np.interp(times[instant], when, bat[:, axis]) for axis in (0, 1))
        off = C.BAT_END_SD * steps(f"bat at {instant}")[:, 0]
        # From along the line the hands are well nearer or farther than the hips, and so is the bat: it looks larger, or smaller.
        size = 1.0 if context.from_side else 1.0 + np.nan_to_num(hands[instant]) / context.distance
        return elevation((x * up[:, 0] + y * up[:, 1] + off) * size / length)

    return told


def elevation(rise: Samples) -> Samples:
    """Above the horizontal, degrees [S], of what share of a bat's length points up, drawn [S]: beyond 1, too, where it was seen too long.

    The angle is no straight line of the share, and near the upright every error is one to the same side. So it is the mean of all
    angles, each as likely as its share is and as directions in space are (Bayes' rule with a flat prior over the sphere), and moves
    with the errors by as much as those angles differ.
    """
    angles = np.radians(np.arange(-180.0, 180.0 + 1.0) / 2.0)
    sd = deviation(rise)
    chance = -0.5 * np.square((np.sin(angles) - rise[0]) / sd)
    chance = np.exp(chance - chance.max()) * np.cos(angles)
    mean = float(chance @ angles / chance.sum())
    spread = float(np.sqrt(chance @ np.square(angles - mean) / chance.sum()))
    return np.asarray(np.degrees(mean + spread * (rise - rise[0]) / sd))


def _calm(bat: Array, times: Array, near: float) -> Array:
    """Knob to barrel [N, 2]: of lines [N, 3], x, y and chance, the mean of those within `near` s, each as far as it is sure.

    Before the hands go the bat moves slowly: one frame's line sits further beside the bat than the bat moves. Where a person put it,
    there it is.
    """
    first, last = np.searchsorted(times, times - near, "left"), np.searchsorted(times, times + near, "right")

    def summed(weights: Array) -> Array:
        sums = np.cumsum(weights[:, None] * np.column_stack([bat[:, :2], np.ones(len(bat))]), axis=0)
        sums = np.concatenate([np.zeros((1, 3)), sums])
        return np.asarray(sums[last] - sums[first])

    placed, sure = summed((bat[:, 2] >= 1.0).astype(float)), summed(bat[:, 2])
    chosen = np.where(placed[:, 2:] > 0.5, placed, sure)
    return np.asarray(chosen[:, :2] / chosen[:, 2:])


def bat_length(seen: Array) -> Samples:
    """The bat's length in standing heights, from how long it was seen in some frames, [N].

    Bats go by the hitter's size. How long this one is shows where it lies in the picture's plane, as it does at least once in a swing;
    in a frame or two, put there by hand, it may point out of that plane, and only bats as such are known.
    """
    length, sd = C.BAT_LENGTH, C.BAT_LENGTH_SD
    if seen.size >= C.BAT_SEEN_FRAMES:
        trust = sd**2 / (sd**2 + C.BAT_LONGEST_SD**2)
        length += trust * (float(np.percentile(seen, C.BAT_PERCENTILE)) - length)
        sd *= float(np.sqrt(1.0 - trust))
    return np.asarray(length + sd * steps("bat length")[:, 0])
