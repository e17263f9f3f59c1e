"""Set-up: the last quiet moment before the load."""

from __future__ import annotations

from typing import Final

from analysis.read.checkpoint import Checkpoint, same_band
from analysis.read.geometry import from_vertical, heading, span
from analysis.read.terms import SIDE_VIEWS

CHECKPOINTS: Final = (
    Checkpoint(
        id="setup_base_width",
        instants=("set_up",),
        name="Width of the stance",
        unit="× shoulder width",
        definition="Distance between the ankles, in widths of the shoulders.",
        views=SIDE_VIEWS,
        bands=same_band(1.3, 2.4),
        scale=(0.5, 3.5),
        good_words="The feet stand wide enough to stay balanced and still free to move.",
        sides=("too narrow", "too wide"),
        low_words="Find a stance a little wider than the shoulders, where a friendly push would not move you.",
        high_words="Bring the feet a little closer together, until a step forward feels easy.",
        why="A base that is steady and still free to move lets legs and hips do the work, so the bat is quick without hurrying.",
        measure=lambda m: (
            span(m.at("set_up").stride()) / span(m.at("set_up").between("rear_shoulder", "front_shoulder"))
        ),
    ),
    Checkpoint(
        id="setup_front_knee",
        instants=("set_up",),
        name="Front knee bend",
        unit="°",
        definition="Bend of the front knee; 0 = straight leg.",
        bands=same_band(12.0, 45.0),
        scale=(0.0, 90.0),
        good_words="The front knee is soft, ready to move.",
        sides=("too straight", "too bent"),
        low_words="Soften the front knee until you feel the weight over the middle of the foot.",
        high_words="Stand a little taller on the front leg, with the knee soft and not in a crouch.",
        why="Soft knees let a hitter start smoothly and follow a pitch that drops.",
        measure=lambda m: m.at("set_up").knee_bend("front"),
    ),
    Checkpoint(
        id="setup_rear_knee",
        instants=("set_up",),
        name="Rear knee bend",
        unit="°",
        definition="Bend of the rear knee; 0 = straight leg.",
        bands=same_band(12.0, 50.0),
        scale=(0.0, 90.0),
        good_words="The rear knee is soft, ready to load.",
        sides=("too straight", "too bent"),
        low_words="Soften the rear knee until you feel the weight over the middle of the foot.",
        high_words="Stand a little taller on the rear leg, so that there is still room to load it.",
        why="A soft rear leg is a spring that can still be loaded, and the swing comes out of it.",
        measure=lambda m: m.at("set_up").knee_bend("rear"),
    ),
    Checkpoint(
        id="setup_trunk_lean",
        instants=("set_up",),
        name="Trunk tilt",
        unit="°",
        definition="Trunk, from mid-hips to mid-shoulders, away from the vertical.",
        bands=same_band(8.0, 40.0),
        scale=(0.0, 70.0),
        good_words="The trunk leans a little from the hips.",
        sides=("too upright", "too far over"),
        low_words="Bend a little from the hips, with a flat back, as if sitting down on a high stool.",
        high_words="Come up a little from the hips, with a flat back, until the eyes are level and easy.",
        why="A small lean gives the arms room and keeps the eyes level with the ball.",
        measure=lambda m: from_vertical(m.at("set_up").between("hips", "shoulders")),
    ),
    Checkpoint(
        id="setup_face",
        instants=("set_up",),
        name="Eyes on the pitcher",
        unit="°",
        definition=(
            "Direction of the face off the line to the pitcher, seen from above; 0 = both eyes on the pitcher, + = toward the plate."
        ),
        views=("chest_side", "catcher_side", "pitcher_side"),
        bands=same_band(-30.0, 30.0),
        scale=(-90.0, 90.0),
        good_words="The face is turned to the pitcher, so that both eyes can see the ball.",
        sides=("turned past the pitcher", "turned too far to the plate"),
        low_words="Turn the chin back a little toward the plate, until both eyes see the pitcher.",
        high_words="Turn the chin toward the front shoulder so that both eyes see the pitcher.",
        why="Two eyes judge speed and height of a pitch much better than one.",
        measure=lambda m: heading(m.at("set_up").between("ears", "nose")),
    ),
)
