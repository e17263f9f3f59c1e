"""Contact: ball on bat, by sound or picture; without a ball, the bat at right angles to the line on its way forward."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.grip import parted
from analysis.read.signals import middle
from analysis.read.stage import Found, Stage, crossing, plateau

__all__ = ["find", "find_by_bat", "find_by_hands", "find_by_sound"]

Array = NDArray[np.float64]

CHECKED: Final = "This swing was checked: it stops before contact."
BAT_CONFIDENCE: Final = 0.3
LONGEST_GAP_S: Final = 0.07  # between the two sightings of the bat around contact
# At contact the hands are this far ahead of mid-shoulders, standing heights: 0.05 for hitters who meet the ball
# over the plate, 0.2 for those who meet it far out front; measured on rendered and real swings.
HANDS_AHEAD: Final = 0.10
HANDS_SD_S: Final = 0.020
# Where the wrists part, the lead hand stands for both, and runs this much ahead of their middle, standing heights.
LEAD_AHEAD: Final = 0.05
SURE_BAT: Final = 0.6  # confidence; a bat seen less surely says less exactly when it was square
AGREE: Final = 3.0  # deviations


def find(stage: Stage) -> Found:
    """By sound where a crack fits the picture, else by bat and hands together."""
    if not stage.full:
        return Found.no(CHECKED)
    seen = _together(find_by_bat(stage), find_by_hands(stage))
    if not seen:
        return seen
    return find_by_sound(stage, seen) or seen


def _together(bat: Found, hands: Found) -> Found:
    """What bat and hands say together, each as far as it is sure; the bat alone where they cannot both be right."""
    if not bat or not hands:
        return bat or hands
    if abs(bat.time - hands.time) > AGREE * np.hypot(bat.sd, hands.sd):
        return bat
    trust = np.array([bat.sd, hands.sd]) ** -2.0
    time = float(trust @ [bat.time, hands.time] / trust.sum())
    return Found(time, float(trust.sum() ** -0.5))


def find_by_bat(stage: Stage) -> Found:
    """The bat passes the direction square to the line while the hands run forward."""
    x, z = np.cos(np.radians(stage.facing.ahead)), np.sin(np.radians(stage.facing.ahead))
    if not stage.from_side:
        return Found.no("From this side the bat hides its direction at contact.")
    peak = float(stage.times[stage.swing.peak])
    frames = stage.span(peak - 0.1 * stage.pace, peak + 0.2 * stage.pace)
    seen = frames[(stage.bat[frames, 2] >= BAT_CONFIDENCE) & np.isfinite(stage.bat[frames, 0])]
    # How far the barrel is ahead of square: seen from a camera that is not square itself, a square bat points aside.
    mirror = 1.0 if stage.facing.hand == "right" else -1.0
    lead = (stage.bat[:, 0] - mirror * z * 0.5) * np.sign(x)
    for before, after in pairwise(seen.tolist()):
        gap = float(stage.times[after] - stage.times[before])
        if lead[before] < 0.0 <= lead[after] and gap <= max(LONGEST_GAP_S * stage.pace, 1.5 * stage.step):
            pair = np.array([before, after])
            time = crossing(stage.times[pair], lead[pair], 0.0, 1)
            doubt = np.clip(SURE_BAT / stage.bat[pair, 2].min(), 1.0, 2.0)
            return Found(time, float(doubt * np.hypot(0.2 * gap, 0.004 * stage.pace)))
    return Found.no("The bat was not seen around contact.")


def find_by_hands(stage: Stage) -> Found:
    """By where the hands are: far enough ahead seen from a side, farthest toward the plate seen along the line."""
    hands = stage.hands() + middle(stage.solid, "left_hip", "right_hip")
    off = hands - middle(stage.solid, "left_shoulder", "right_shoulder")
    peak = float(stage.times[stage.swing.peak])
    frames = stage.span(peak - 0.08 * stage.pace, peak + 0.2 * stage.pace)
    frames = frames[np.isfinite(off[frames, 0])]
    sd = float(np.hypot(0.4 * stage.step, HANDS_SD_S * stage.pace))
    if frames.size < 3:
        return Found.no("The hands were not seen around contact.")
    if not stage.from_side:
        top = plateau(stage.times, off[:, 2], frames, 0.005)
        return (
            Found(top[0], float(np.hypot(sd, top[1]))) if top else Found.no("The hands were not seen around contact.")
        )
    ahead = off[:, 0] - LEAD_AHEAD * parted(stage.solid)
    past = np.flatnonzero(ahead[frames] >= HANDS_AHEAD)
    if not past.size:
        return Found(float(stage.times[frames[int(np.argmax(ahead[frames]))]]), 1.5 * sd)
    frame = int(frames[past[0]])
    if past[0] == 0:
        return Found(float(stage.times[frame]), 2.0 * sd)
    return Found(crossing(stage.times, ahead, HANDS_AHEAD, frame), sd)


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
