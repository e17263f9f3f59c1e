"""Swing start: the hands go for good."""

from __future__ import annotations

from typing import Final

from analysis.read.checkpoint import Checkpoint, same_band
from analysis.read.geometry import Samples, distance_to_line
from analysis.read.perturbed_swing import PerturbedSwing
from analysis.read.terms import SIDE_VIEWS


def elbow_line(m: PerturbedSwing) -> Samples:
    """Rear elbow off the line from the hands to the rear hip, % of the rear arm's length [S]."""
    pose = m.at("slot")
    off = distance_to_line(pose["rear_elbow"], pose["hands"], pose["rear_hip"])
    return 100.0 * off / pose.arm("rear")


CHECKPOINTS: Final = (
    Checkpoint(
        id="time_to_start",
        instants=("swing_start", "foot_down"),
        name="Foot down to swing start",
        unit="ms",
        definition="Time from foot down to swing start; negative where the hands go first.",
        bands=same_band(0.0, None),
        scale=(-200.0, 400.0),
        good_words="The foot is down before the hands go.",
        sides=("too short", "too long"),
        low_words="Start the step earlier, so that there is time to see the pitch before the hands go.",
        high_words="Step a little later, so that the hands go soon after the foot is down.",
        why="Time between foot down and swing start is time to see the pitch and decide; a long wait takes the flow out of the swing.",
        measure=lambda m: 1000.0 * m.seconds("foot_down", "swing_start"),
    ),
    Checkpoint(
        id="swing_elbow_line",
        instants=("swing_start", "contact"),
        name="Rear elbow in the slot",
        unit="% of arm length",
        definition=(
            "Distance of the rear elbow from the straight line between hands and rear hip, at the moment between swing start and "
            "contact when the elbow is closest to the rear hip."
        ),
        views=(*SIDE_VIEWS, "catcher_side"),
        bands=same_band(None, 30.0),
        scale=(0.0, 80.0),
        good_words="The rear elbow drops in line with the hands and the rear hip.",
        sides=("too tight to the body", "too far off the line"),
        low_words="Give the rear elbow a little room beside the body.",
        high_words="Let the rear elbow drop to the rear hip before the hands go forward.",
        why="An elbow in the slot brings the barrel into the path of the pitch early and keeps it there.",
        measure=elbow_line,
    ),
)
