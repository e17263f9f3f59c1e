"""The instants and checkpoints of a drawn swing, computed from its motion as for the films (`tests.films.truth`)."""

from __future__ import annotations

import numpy as np

from analysis.read.lift import JOINTS
from tests.films.truth import Sampled, checkpoints_of, instants_of

from .marks import Marks
from .movers import SOLE, Swing

__all__ = ["truth_of"]

FINE = 250.0  # samples per second


def truth_of(mover: Swing, first: float, last: float, which: int = 0) -> dict[str, dict[str, float]] | None:
    """``instants`` by name, seconds of the mover's time, and ``checkpoints`` by id, between two times; of the first or another swing.

    None where one of the instants never comes, as where a hitter is never quiet.
    """
    timing = mover.timings[which]
    marks, head = Marks(mover.body), mover.body.index("head")
    times = np.arange(max(first, timing.move - 0.4), min(last, timing.finish + 0.3), 1 / FINE)
    moments = [mover.moment(float(time)) for time in times]
    joints = np.array([marks.at(m.rotations, m.places) for m in moments])
    bats = np.array([np.stack(m.bat) for m in moments if m.bat is not None])
    sampled = Sampled(
        times,
        {name: joints[:, k] for k, name in enumerate(JOINTS)},
        bats[:, 0],
        bats[:, 1],
        np.array([m.rotations[head] @ [0, 0, 1.0] for m in moments]),
        0.0,
    )
    for name in sampled.joints:
        sampled.joints[name] = sampled.joints[name] - [0, SOLE, 0]
    try:
        when = instants_of(sampled, timing)
    except IndexError:
        return None
    arm = mover.skeleton.upper["L"] + mover.skeleton.fore["L"]
    return {"instants": when, "checkpoints": checkpoints_of(sampled, when, mover.body.height, arm)}
