"""Load: the hands are farthest back before the stride foot lands."""

from __future__ import annotations

from typing import Final

from analysis.read.checkpoint import Checkpoint, same_band
from analysis.read.terms import SIDE_VIEWS

CHECKPOINTS: Final = (
    Checkpoint(
        id="load_hands_back",
        instants=("load", "set_up"),
        name="Hands going back",
        unit="% of height",
        definition="How far the hands go back from set-up to load, relative to the hips, along the line to the pitcher.",
        views=SIDE_VIEWS,
        bands=same_band(1.0, 15.0),
        scale=(-5.0, 30.0),
        good_words="The hands go back a little, like drawing a bow.",
        sides=("too little", "too far"),
        low_words="Let the hands go back a hand's width while the front foot steps forward.",
        high_words="Let the hands go back only a hand's width, and do not let the front arm straighten.",
        why="Hands that go back a little while the foot goes forward stretch the body, and that stretch speeds up the bat.",
        measure=lambda m: (
            100.0 * (m.at("set_up").between("hips", "hands") - m.at("load").between("hips", "hands"))[:, 0]
        ),
    ),
    Checkpoint(
        id="load_head_travel",
        instants=("load", "set_up", "foot_down"),
        name="Head travel in the stride",
        unit="% of height",
        definition="How far the head moves from set-up to foot down.",
        views=SIDE_VIEWS,
        bands={"child": (None, 14.0), "youth": (None, 12.0), "adult": (None, 10.0)},
        scale=(0.0, 35.0),
        good_words="The head stays quiet while the foot steps.",
        sides=("held too stiff", "too much"),
        low_words="Let the head go along a little with the step.",
        high_words="Step softly and leave the head where it is, as if a cup of water sat on your helmet.",
        why="The eyes judge the ball best from a head that is quiet but not stiff; a long way makes the ball seem to jump.",
        measure=lambda m: 100.0 * m.travel("ears", "set_up", "foot_down"),
    ),
)
