"""Contact: ball on bat, by sound or picture; without a ball, the bat at right angles to the line on its way forward."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.stage import Found, Stage, crossing

__all__ = ["find", "find_by_bat", "find_by_hands", "find_by_sound"]

Array = NDArray[np.float64]

CHECKED: Final = "This swing was checked: it stops before contact."
BAT_CONFIDENCE: Final = 0.3
LEAST_BAT: Final = 0.12  # standing heights of projected bat that still give a direction
LONGEST_GAP_S: Final = 0.07  # between the two sightings of the bat around contact
# The hands are fastest a little before the ball is met: they slow down while the barrel catches up.
HANDS_LEAD_S: Final = 0.02
HANDS_SD_S: Final = 0.03


def find(stage: Stage) -> Found:
    """By sound where a crack fits the picture, else by the bat, else by the hands alone."""
    if not stage.full:
        return Found.no(CHECKED)
    seen = find_by_bat(stage) or find_by_hands(stage)
    if not seen:
        return seen
    heard = find_by_sound(stage, seen)
    return heard or seen


def find_by_bat(stage: Stage) -> Found:
    """The bat passes the direction square to the line while the hands run forward."""
    x, z = np.cos(np.radians(stage.facing.ahead)), np.sin(np.radians(stage.facing.ahead))
    if abs(x) < 0.7:
        return Found.no("From this side the bat hides its direction at contact.")
    peak = float(stage.times[stage.swing.peak])
    frames = stage.span(peak - 0.15 * stage.pace, peak + 0.2 * stage.pace)
    seen = frames[(stage.bat[frames, 2] >= BAT_CONFIDENCE) & np.isfinite(stage.bat[frames, 0])]
    # How far the barrel is ahead of square, to the side of the picture the pitcher is on.
    mirror = 1.0 if stage.facing.hand == "right" else -1.0
    square = mirror * z * 0.5
    lead = (stage.bat[:, 0] - square) * np.sign(x)
    for before, after in zip(seen[:-1].tolist(), seen[1:].tolist(), strict=True):
        gap = float(stage.times[after] - stage.times[before])
        if lead[before] < 0.0 <= lead[after] and gap <= max(LONGEST_GAP_S * stage.pace, 1.5 * stage.step):
            pair = np.array([before, after])
            time = crossing(stage.times[pair], lead[pair], 0.0, 1)
            return Found(time, float(np.hypot(0.2 * gap, 0.004 * stage.pace)))
    return Found.no("The bat was not seen around contact.")


def find_by_hands(stage: Stage) -> Found:
    """A little after the hands' peak speed; good to about a tenth of the swing."""
    peak = float(stage.times[stage.swing.peak])
    return Found(peak + HANDS_LEAD_S * stage.pace, float(np.hypot(stage.step / 2.0, HANDS_SD_S * stage.pace)))


def find_by_sound(stage: Stage, seen: Found) -> Found:
    """The crack that fits what was seen; a disagreement beyond the picture's error widens the interval."""
    if stage.sound is None or not stage.sound.times.size:
        return Found.no("There is no crack in the sound.")
    off = np.abs(stage.sound.times - seen.time)
    reach = max(3.0 * seen.sd, 2.5 * stage.step, 0.05)
    near = np.flatnonzero(off <= reach)
    if not near.size:
        return Found.no("No crack in the sound fits this swing.")
    # A strong crack a little off is likelier than a weak one right there.
    score = np.log(np.maximum(stage.sound.strengths[near], 1e-6)) - 0.5 * (off[near] / max(seen.sd, 0.02)) ** 2
    best = near[int(np.argmax(score))]
    beyond = max(float(off[best]) - 2.0 * seen.sd, 0.0)
    return Found(float(stage.sound.times[best]), float(np.hypot(stage.sound.sd, beyond / 2.0)), "sound")
