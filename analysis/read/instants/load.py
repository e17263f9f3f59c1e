"""Load: the hands are farthest back, relative to the hips, before the stride foot lands."""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.stage import Found, Stage, plateau

__all__ = ["find"]

LOOK_BACK_S, DEPTH_LOOK_BACK_S = 0.8, 1.2  # seen from a side, and along the line
HANDS_ERROR: Final = 0.006  # standing heights: what the smoothed hands are good for
# Hands go back quickly and then wait: of the time in which they cannot be told from rearmost, the moment lies past the
# middle by this share (rendered films with known truth).
LATE_SHARE: Final = 0.2
SD_S: Final = 0.12  # as far off as on 35 rendered swings
DEPTH_SD_S: Final = 0.3  # seen along the line, hands that go back hardly move in the picture


def find(stage: Stage) -> Found:
    """The hands' rearmost place up to foot down, or up to swing start where no stride was seen."""
    until = stage.found["foot_down"] or stage.found["swing_start"]
    if not until:
        return Found.no("Load comes before foot down, and neither foot down nor swing start was found.")
    back = (LOOK_BACK_S if stage.from_side else DEPTH_LOOK_BACK_S) * stage.pace
    frames = stage.span(until.time - back, until.time + stage.step / 2.0)
    top = plateau(stage.times, -stage.hands()[:, 0], frames, HANDS_ERROR) if frames.size else None
    if top is None:
        return Found.no("The hands were not seen before the stride foot landed.")
    time, sd = top
    return Found(
        time + LATE_SHARE * np.sqrt(12.0) * sd, max((SD_S if stage.from_side else DEPTH_SD_S) * stage.pace, sd)
    )
