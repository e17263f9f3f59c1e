"""Extension: both arms are straightest after contact."""

from __future__ import annotations

from typing import Final

import numpy as np

from analysis.read.stage import Found, Stage, plateau

__all__ = ["find"]

LOOK_ON_S: Final = 0.25
ARM_ERROR: Final = 0.02  # standing heights
# The arms lengthen in depth too, which is not seen: from a side, and along the line. As far off as on 44 rendered swings.
SD_S, DEPTH_SD_S = 0.026, 0.04


def find(stage: Stage) -> Found:
    """The longest way from shoulders to wrists, both arms together, in the quarter of a second after contact."""
    contact = stage.found["contact"]
    frames = stage.span(contact.time, contact.time + LOOK_ON_S * stage.pace)
    arms = sum(
        np.linalg.norm(stage.point(f"{end}_wrist") - stage.point(f"{end}_shoulder"), axis=1)
        for end in ("front", "rear")
    )
    top = plateau(stage.times, np.asarray(arms), frames, ARM_ERROR) if frames.size else None
    if top is None:
        return Found.no("The arms were not seen after contact.")
    return Found(top[0], max(stage.frame_sd, top[1], (SD_S if stage.from_side else DEPTH_SD_S) * stage.pace))
