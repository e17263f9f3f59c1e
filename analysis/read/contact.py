"""What bat and sound add to the contact that the body's motion tells."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.context import Found, Sound, SwingContext


def fuse_contact(context: SwingContext, body: Found) -> Found:
    """Contact by body, bat and sound together, each as far as it is sure.

    By the bat alone where it and the body cannot both be right, and by the body the less the further they are apart: the bat is what
    meets the ball, and a hitter who moves like no one before can be told far off.
    """
    bat, pictured = square_bat(context), body
    if bat:
        off = abs(bat.time - body.time)
        weak = Found(body.time, max(body.sd, off - C.SQUARE_LATE_S * context.slowdown))
        pictured = bat if off > C.AGREEING_SDS * np.hypot(bat.sd, body.sd) else _weighted_mean(bat, weak)
    return find_by_sound(context, pictured) or pictured


def _weighted_mean(one: Found, other: Found) -> Found:
    trust = np.array([one.sd, other.sd]) ** -2.0
    return Found(float(trust @ [one.time, other.time] / trust.sum()), float(trust.sum() ** -0.5))


def square_bat(context: SwingContext) -> Found:
    """The bat passes the direction square to the line while the hands run forward."""
    x, z = np.cos(np.radians(context.facing.ahead)), np.sin(np.radians(context.facing.ahead))
    if not context.from_side:
        return Found(reason="From this side the bat hides its direction at contact.")
    peak = float(context.times[context.swing.peak])
    frames = context.span(peak - C.SQUARE_BEFORE_S * context.slowdown, peak + C.SQUARE_AFTER_S * context.slowdown)
    seen = frames[np.isfinite(context.bat[frames, 0])]
    # How far the barrel is ahead of square: seen from a camera that is not square itself, a square bat points aside.
    mirror = 1.0 if context.facing.hand == "right" else -1.0
    lead = (context.bat[:, 0] - mirror * z * C.SQUARE_BAT) * np.sign(x)
    longest = max(C.BAT_GAP_S * context.slowdown, C.NEXT_FRAME * context.step)
    for before, after in pairwise(seen.tolist()):
        gap = float(context.times[after] - context.times[before])
        if lead[before] < 0.0 <= lead[after] and gap <= longest:
            share = -lead[before] / (lead[after] - lead[before])
            sd = float(np.hypot(C.SQUARE_SHARE_SD * gap, C.SQUARE_SD_S * context.slowdown))
            return Found(float(context.times[before] + share * gap), sd)
    return Found(reason="The bat was not seen around contact.")


def find_by_sound(context: SwingContext, seen: Found) -> Found:
    """The crack that fits what was seen; a disagreement beyond the picture's error widens the interval."""
    if context.sound is None or not context.sound.times.size:
        return Found(reason="There is no crack in the sound.")
    sound = context.sound
    off = np.abs(sound.times - seen.time)
    best = _lone(sound, off)
    if best is None:
        near = np.flatnonzero(off <= max(C.AGREEING_SDS * seen.sd, C.CRACK_FRAMES * context.step, C.CRACK_S))
        if not near.size:
            return Found(reason="No crack in the sound fits this swing.")
        # A strong crack a little off is likelier than a weak one right there.
        fit = -0.5 * (off[near] / max(seen.sd, C.CRACK_SD_S)) ** 2
        best = int(near[np.argmax(np.log(np.maximum(sound.strengths[near], 1e-6)) + fit)])
    doubt = C.DISAGREEMENT_SHARE * max(float(off[best]) - C.CRACK_AGREES * seen.sd, 0.0)
    # How far the sound had to come is not known well, so the picture has its word: the less, the further the two are apart, for
    # a crack is late by what a distance explains, and a hitter who moves like no one before can be told far off.
    picture_sd = max(seen.sd, C.LEAST_PICTURE_SD_S * context.slowdown, float(off[best]) - C.CRACK_LATE_S)
    both = _weighted_mean(Found(float(sound.times[best]), sound.sd), Found(seen.time, picture_sd))
    return Found(both.time, max(both.sd, context.frame_sd, doubt), "sound")


def _lone(sound: Sound, off: Array) -> int | None:
    """The loud crack that is alone about a swing, by how far each [N] is off what was seen; None where there is none."""
    best = int(np.argmax(np.where(off <= C.LONE_CRACK_S, sound.strengths, -np.inf)))
    about = np.delete(sound.strengths, best)[np.delete(off, best) <= C.LONE_CRACK_ABOUT_S]
    loud = max(C.LONE_CRACK_STRENGTH, C.LONE_CRACK_TIMES * float(about.max(initial=0.0)))
    return best if off[best] <= C.LONE_CRACK_S and sound.strengths[best] >= loud else None
