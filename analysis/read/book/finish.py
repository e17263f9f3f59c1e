"""Finish: the bat stops or turns back."""

from __future__ import annotations

from typing import Final

from analysis.read.checkpoint import Checkpoint, same_band
from analysis.read.terms import SIDE_VIEWS

CHECKPOINTS: Final = (
    Checkpoint(
        id="finish_hands_height",
        instants=("finish",),
        name="Height of the hands",
        unit="% of height",
        definition="Hands above the shoulders at the finish; negative = below them.",
        bands=same_band(-6.0, None),
        scale=(-30.0, 30.0),
        good_words="The hands finish at the shoulders or above.",
        sides=("too low", "too high"),
        low_words="Let the hands finish up at the front shoulder.",
        high_words="Let the hands finish at the front shoulder, and not far above it.",
        why="A finish at the shoulder shows that the bat did not slow down before the ball.",
        measure=lambda m: 100.0 * m.at("finish").between("shoulders", "hands")[:, 1],
    ),
    Checkpoint(
        id="finish_balance",
        instants=("finish",),
        name="Balance at the finish",
        unit="% of foot spacing",
        definition="Mid-hips between the feet, along the line to the pitcher; 0 = over the rear foot, 100 = over the front foot.",
        views=SIDE_VIEWS,
        bands=same_band(25.0, 85.0),
        scale=(-20.0, 120.0),
        good_words="The swing ends in balance, between the feet.",
        sides=("hanging back", "falling forward"),
        low_words="Let the weight come off the rear leg to the middle, and hold the finish until you can count to three.",
        high_words="Keep the weight from falling onto the front foot, and hold the finish until you can count to three.",
        why="A balanced finish shows a balanced swing, and the hitter is ready to run.",
        measure=lambda m: 100.0 * m.at("finish").between("rear_ankle", "hips")[:, 0] / m.at("finish").stride()[:, 0],
    ),
    Checkpoint(
        id="finish_pull_across",
        instants=("finish",),
        name="Through the ball",
        definition="The bat goes on through the ball toward the pitcher instead of being pulled across the body.",
        bands=same_band(None, None),
        scale=(0.0, 1.0),
        good_words="The swing goes through the ball.",
        work_words="Send the barrel after the ball before it comes around.",
        why="A bat that goes through the ball sends it where it was aimed; one pulled across only brushes it.",
    ),
)
