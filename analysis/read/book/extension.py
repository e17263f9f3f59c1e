"""Extension: both arms are straightest after contact."""

from __future__ import annotations

from typing import Final

from analysis.read.checkpoint import Checkpoint, same_band
from analysis.read.geometry import Samples, span
from analysis.read.perturbed_swing import PerturbedSwing


def reach(m: PerturbedSwing) -> Samples:
    """Mid-shoulders to mid-wrists, % of an arm's length [S]."""
    pose = m.at("extension")
    return 100.0 * span(pose.between("shoulders", "hands")) / ((pose.arm("front") + pose.arm("rear")) / 2.0)


CHECKPOINTS: Final = (
    Checkpoint(
        id="extension_reach",
        instants=("extension",),
        name="Reach after contact",
        unit="% of arm length",
        definition="Distance of the hands from the middle of the chest at extension, in arm lengths.",
        bands=same_band(80.0, None),
        scale=(40.0, 120.0),
        good_words="Both arms get long through the ball.",
        sides=("too short", "locked out"),
        low_words="Swing through the ball: let both arms get long toward the pitcher.",
        high_words="Let the arms get long through the ball without locking the elbows.",
        why="Arms that are long but not locked keep the barrel on the line of the pitch, so a slightly early swing still hits hard.",
        measure=reach,
    ),
)
