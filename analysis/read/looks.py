"""What the networks of deeds and of instants look at in a clip."""

from __future__ import annotations

import numpy as np

from analysis.read.bodies import Bodies, no_more_than_needed
from analysis.read.signals import Signals
from analysis.read.timing import AFTER_S, BEFORE_S, Floats32, inputs

__all__ = ["look_about"]


def look_about(signals: Signals, bodies: Bodies, centre: float, ahead: float, hand: str) -> Floats32:
    """Inputs [G, INPUTS] about a film time, s; `ahead` is the line's direction on ray axes, degrees, NaN where it is not known."""
    times, slowdown = signals.times, bodies.slowdown
    near = (times >= centre - BEFORE_S * slowdown) & (times <= centre + AFTER_S * slowdown)
    bodies.watch(no_more_than_needed(np.flatnonzero(near), times, slowdown))
    straight = ahead if np.isfinite(ahead) else 0.0
    flat, visibility = signals.space[..., :2], bodies.motion.visibility
    return inputs(times, flat, bodies.places, visibility, centre, slowdown, straight, hand)
