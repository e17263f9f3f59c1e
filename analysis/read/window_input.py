"""The input of the two networks over time, of swings and of instants, from a clip."""

from __future__ import annotations

import numpy as np

from analysis.read.arrays import Array, Floats32, Frames
from analysis.read.bodies import Bodies, thinned
from analysis.read.instant_network import AFTER_S, BEFORE_S, inputs, other_hand
from analysis.read.signals import Signals


def window_frames(times: Array, centre: float, slowdown: float) -> Frames:
    """The frames [N] to be lifted for what the networks see about a film time, s.

    times     [F] film time of every frame, s
    slowdown  how many times slower than life the film runs
    """
    near = (times >= centre - BEFORE_S * slowdown) & (times <= centre + AFTER_S * slowdown)
    return thinned(np.flatnonzero(near), times, slowdown)


def window_input(signals: Signals, bodies: Bodies, centre: float, ahead: float, hand: str) -> Floats32:
    """Inputs [G, INPUTS] about a film time, s; `ahead` is the line's direction on ray axes, degrees, NaN where it is not known."""
    times, slowdown = signals.times, bodies.slowdown
    bodies.lift(window_frames(times, centre, slowdown))
    straight = (ahead if hand == "right" else ahead + 180.0) if np.isfinite(ahead) else 0.0
    flat, visibility = signals.space[..., :2], bodies.motion.visibility
    rows = inputs(times, flat, bodies.places, visibility, centre, slowdown, straight)
    return rows if hand == "right" else other_hand(rows)
