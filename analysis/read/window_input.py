"""The input of the two networks over time, of swings and of instants, from a clip."""

from __future__ import annotations

import numpy as np

from analysis.read.arrays import Floats32, Frames
from analysis.read.bodies import Bodies, thinned
from analysis.read.instant_network import AFTER_S, BEFORE_S, inputs, other_hand
from analysis.read.motion import Motion


def window_frames(motion: Motion, centre: float) -> Frames:
    """The frames [N] to be lifted for what the networks see about a film time, s."""
    times, slowdown = motion.times, motion.slowdown
    near = (times >= centre - BEFORE_S * slowdown) & (times <= centre + AFTER_S * slowdown)
    return thinned(np.flatnonzero(near), times, slowdown)


def window_input(motion: Motion, bodies: Bodies, centre: float, ahead: float, hand: str) -> Floats32:
    """Inputs [G, INPUTS] about a film time, s; `ahead` is the line's direction on ray axes, degrees, NaN where it is not known."""
    bodies.lift(window_frames(motion, centre))
    straight = (ahead if hand == "right" else ahead + 180.0) if np.isfinite(ahead) else 0.0
    flat = motion.space[..., :2]
    rows = inputs(motion.times, flat, bodies.places, motion.visibility, centre, motion.slowdown, straight)
    return rows if hand == "right" else other_hand(rows)
