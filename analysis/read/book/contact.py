"""Contact: ball on bat."""

from __future__ import annotations

from typing import Final

from analysis.read.checkpoint import Checkpoint, same_band
from analysis.read.terms import SIDE_VIEWS

CHECKPOINTS: Final = (
    Checkpoint(
        id="start_to_contact",
        instants=("swing_start", "contact"),
        name="Swing start to contact",
        unit="ms",
        definition="Time from swing start to contact.",
        bands={"child": (None, 270.0), "youth": (None, 240.0), "adult": (None, 210.0)},
        scale=(80.0, 450.0),
        good_words="The swing is quick to the ball.",
        sides=("too hurried", "too slow"),
        low_words="Let the bat take its time to the ball; there is no hurry.",
        high_words="Take the bat to the ball by the shortest path; power comes later.",
        why="A quick swing can start later and see more of the pitch, but a snatched one misses it.",
        measure=lambda m: 1000.0 * m.seconds("swing_start", "contact"),
    ),
    Checkpoint(
        id="down_to_contact",
        instants=("contact", "foot_down"),
        name="Foot down to contact",
        unit="ms",
        definition="Time from foot down to contact.",
        bands=same_band(150.0, 450.0),
        scale=(50.0, 700.0),
        good_words="The foot is down in good time before the ball is there.",
        sides=("too short", "too long"),
        low_words="Start the step earlier, so that the foot is down in good time before the ball is there.",
        high_words="Start the step a little later, so that it flows into the swing without a wait.",
        why="With the foot down neither late nor long before, a hitter can adjust to a slower or faster pitch.",
        measure=lambda m: 1000.0 * m.seconds("foot_down", "contact"),
    ),
    Checkpoint(
        id="contact_front_knee",
        instants=("contact",),
        name="Front leg at contact",
        unit="°",
        definition="Bend of the front knee at contact; 0 = straight leg.",
        bands={"child": (None, 35.0), "youth": (None, 30.0), "adult": (None, 28.0)},
        scale=(0.0, 90.0),
        good_words="The front leg is firm at contact.",
        sides=("locked", "too bent"),
        low_words="Keep a little softness in the front knee at contact.",
        high_words="Push the front leg firm into the ground just before the ball.",
        why="A front leg that is firm but not locked stops the body, and what it stops goes into the bat.",
        measure=lambda m: m.at("contact").knee_bend("front"),
    ),
    Checkpoint(
        id="contact_head_travel",
        instants=("contact", "foot_down"),
        name="Head travel in the swing",
        unit="% of height",
        definition="How far the head moves from foot down to contact.",
        views=SIDE_VIEWS,
        bands={"child": (None, 10.0), "youth": (None, 9.0), "adult": (None, 8.0)},
        scale=(0.0, 30.0),
        good_words="The head stays still from foot down to contact.",
        sides=("held too stiff", "too much"),
        low_words="Let the head be easy; it need not be held stiff.",
        high_words="Keep the head down and still until the ball is hit.",
        why="The eyes guide the bat to the ball best while the head is still and the neck is easy.",
        measure=lambda m: 100.0 * m.travel("ears", "foot_down", "contact"),
    ),
    Checkpoint(
        id="contact_palms",
        instants=("contact",),
        name="Palms at contact",
        definition="At contact one palm looks up and the other looks down.",
        bands=same_band(None, None),
        scale=(0.0, 1.0),
        good_words="At contact one palm looks up and one looks down.",
        work_words="Feel one palm up and one palm down when the bat meets the ball.",
        why="With palms up and down the wrists are strong against the ball.",
    ),
)
