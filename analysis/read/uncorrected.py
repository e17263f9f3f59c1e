"""What reading makes of a clip before a coach moves anything: cleaned once, and lifted once for the same frames.

Every correction reads the clip again, and the most of that work does not depend on it. What is kept here is what would be made
again, bit for bit; so the same input gives the same result, whatever was read before.
"""

from __future__ import annotations

import weakref
from collections import OrderedDict
from dataclasses import dataclass, field

import numpy as np

from analysis.read import constants as C
from analysis.read.lift import Lifted
from analysis.read.motion import Motion, clean_motion
from analysis.tracks import Tracks


@dataclass(frozen=True)
class Uncorrected:
    """A clip's cleaned motion, its arrays not to be written, and bodies lifted from it by their frames' bytes."""

    motion: Motion
    lifted: dict[bytes, Lifted] = field(default_factory=dict)


_kept: OrderedDict[tuple[int, float], tuple[weakref.ref[Tracks], Uncorrected]] = OrderedDict()


def uncorrected(tracks: Tracks, slowdown: float) -> Uncorrected:
    """The same object for the same tracks while it is kept: the newest few, by the tracks' own identity."""
    key = (id(tracks), slowdown)
    found = _kept.get(key)
    if found is not None and found[0]() is tracks:
        return found[1]
    motion = clean_motion(tracks, slowdown)
    for value in (motion.space, motion.hands, motion.hands_speed, *vars(motion).values()):
        if isinstance(value, np.ndarray):
            value.setflags(write=False)
    made = Uncorrected(motion)
    if tracks.frames <= C.MOST_KEPT_FRAMES:
        _kept[key] = (weakref.ref(tracks, lambda _gone: _kept.pop(key, None)), made)
        while len(_kept) > C.MOST_KEPT_CLIPS:
            _kept.popitem(last=False)
    return made
